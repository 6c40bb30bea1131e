"""Board paper: a posted week's figures, each with what is divided by what, and nobody's name."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from api.services.outages import down, up
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.ledger import records
from scheduler.measures import measure, rescued
from scheduler.units import HOUR
from tests.asking import Asking
from tests.book import HAND, doing
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.shelves import FRIDAY
from tests.site import KEY, entered, words
from web.app import create_site
from web.views.reading import Reading

PAGE = f"/board/{WEEK}"


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        yield found


@pytest.fixture
def posted_kitchen(kitchen: Kitchen, plan: Plan) -> Kitchen:
    number = kitchen.laid_out(plan)
    kitchen.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
    return kitchen


@pytest.fixture
def bea(posted_kitchen: Kitchen) -> Asking:
    return entered(posted_kitchen, "board")


def rows(html: str, section: str) -> list[list[str]]:
    """The table of that section, cell by cell."""
    part = html[html.index(f'aria-labelledby="{section}"') :]
    table = part[: part.index("</table>")]
    return [
        [words(cell) for cell in re.findall(r"<t[hd]\b[^>]*>(.*?)</t[hd]>", row, re.DOTALL)]
        for row in re.findall(r"<tr[^>]*>(.*?)</tr>", table, re.DOTALL)
    ]


def test_before_anything_is_posted_it_says_what_will_be_here(kitchen: Kitchen, plan: Plan):
    bea = entered(kitchen, "board")
    assert "No week has been posted yet" in bea.get("/", follow=True).text
    kitchen.laid_out(plan)
    assert "No week has been posted yet" in bea.get("/", follow=True).text
    assert bea.get(PAGE).status_code == 404


def test_it_is_where_the_board_begins(bea: Asking):
    answer = bea.get("/", follow=True)
    assert (answer.status_code, answer.url.path) == (200, PAGE)


def test_each_fraction_says_what_is_divided_by_what(bea: Asking, plan: Plan):
    page, reading = bea.get(PAGE).text, Reading()
    expected = [
        [each.name, reading.percent(each.share), f"{reading.number(each.numerator, 1)} of"
         f" {reading.number(each.denominator, 1)} {each.unit}", each.definition]
        for each in measure(AUGUST, plan).four
    ]  # fmt: skip
    assert len(expected) == 4
    assert rows(page, "how-full")[1:] == expected


def test_asked_and_placed_add_up_to_the_plan(bea: Asking, plan: Plan):
    got, reading = rescued(AUGUST, plan), Reading()
    found = {row[0]: row[2] for row in rows(bea.get(PAGE).text, "placed")[1:]}
    assert found == {
        "Notes": f"{got.placed_notes} of 26",
        "Field weight": f"{reading.weight(got.placed_field_g)} of"
        f" {reading.weight(got.asked_field_g)}",
        "Prepared weight": f"{reading.weight(got.placed_prepared_g)} of"
        f" {reading.weight(got.asked_prepared_g)}",
        "At the door": "0 of 26",
    }


def test_lots_and_bags_are_counted_as_they_come(bea: Asking, posted_kitchen: Kitchen):
    hand = posted_kitchen.by["hand"]
    lot = hand.post("/api/v1/lots", {"note_id": "R02", "weighed_kg": 118}).json()
    hand.post(f"/api/v1/lots/{lot['code']}/pack", {"bags": 71}, headers={"If-Match": '"1"'})
    (row,) = (each for each in rows(bea.get(PAGE).text, "placed") if each[0] == "At the door")
    assert row[2] == "1 of 26"
    assert row[3].endswith("so far: 71")


def test_shares_add_up_to_the_weeks_rack_hours(bea: Asking, plan: Plan):
    table = rows(bea.get(PAGE).text, "shared")
    growers, together = table[1:-1], table[-1]
    assert len(growers) == len(AUGUST.growers)
    ledger = [each.rack_s / HOUR for each in records(AUGUST, plan)]
    assert sorted(float(row[5].replace(",", "")) for row in growers) == pytest.approx(
        sorted(round(each, 1) for each in ledger)
    )
    assert float(together[5].replace(",", "")) == pytest.approx(sum(ledger), abs=0.1)
    assert [sum(int(row[at]) for row in growers) for at in (2, 3, 4)] == [
        int(together[at]) for at in (2, 3, 4)
    ]
    assert sum(int(row[2]) for row in growers) == 26
    per_share = [float(row[5].replace(",", "")) / max(1, int(row[1])) for row in growers]
    assert [float(row[6]) for row in growers] == pytest.approx(per_share, abs=0.06)


def test_a_turn_is_a_day_of_work_or_a_day_of_packing(bea: Asking, posted_kitchen: Kitchen):
    zone = AUGUST.kitchen.zone
    with posted_kitchen.shelf.reading() as book:
        turns = book.turns.where()
    days = {(each.whose, each.kind, each.start.astimezone(zone).date()) for each in turns}
    assert rows(bea.get(PAGE).text, "shared")[-1][4] == str(len(days))
    assert len(days) < len(turns)


def test_nobody_is_named(bea: Asking, posted_kitchen: Kitchen):
    with posted_kitchen.shelf.writing() as book:
        down(book, doing(HAND), "D3", stopped=FRIDAY + timedelta(days=4), cause="Sal fell on it")
    posted_kitchen.now[0] = FRIDAY + timedelta(days=5)
    page = bea.get(PAGE).text
    assert "D3" in page
    names = {each.name for each in AUGUST.growers} | {each.name for each in AUGUST.kitchen.hands}
    for name in names | {each.farm for each in AUGUST.growers}:
        assert name not in page
    assert "Sal" not in page
    assert not re.search(r"\b[GR]\d\d\b", page)


def test_what_stops_took(bea: Asking, posted_kitchen: Kitchen):
    assert "No station stopped." in bea.get(PAGE).text
    stopped = at(18, 22, 10)
    with posted_kitchen.shelf.writing() as book:
        entry = down(book, doing(HAND), "D3", stopped=stopped)
        down(book, doing(HAND), "S1", stopped=stopped)
    posted_kitchen.now[0] = stopped + timedelta(hours=10)
    lost = rows(bea.get(PAGE).text, "lost")
    assert lost[1][2] == "10 of 504 hours"
    assert lost[2][2] == "400 of 11,592 rack-hours"
    assert words(bea.get(PAGE).text).count("10 h, still down") == 2
    with posted_kitchen.shelf.writing() as book:
        up(book, doing(HAND), entry.number, version=entry.version, back=at(20, 12))
    posted_kitchen.now[0] = at(30, 12)
    page = bea.get(PAGE).text
    assert rows(page, "lost")[1][2] == "37.8 of 504 hours"
    assert "D3: Tue 18 Aug, 22:10 to Thu 20 Aug, 12:00, 37 h 50 min S1" in words(page)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 8, day, hour, minute, tzinfo=AUGUST.kitchen.zone)


def test_posted_weeks_are_leafed_through(bea: Asking, posted_kitchen: Kitchen, plan: Plan):
    assert not re.search(r'rel="(prev|next)"', bea.get(PAGE).text)
    other = Week(2026, 36)
    moved = replace(plan, week=other, runs=(), duties=(), waiting=())
    with posted_kitchen.shelf.writing() as book:
        asked = replace(AUGUST, week=other)
        number = book.plans.add(asked, moved, laid_out_at=FRIDAY, state="posted")
        entry = book.weeks.find(AUGUST.week)
        assert entry
        book.weeks.replace(replace(entry, week=other, posted=number))
    assert 'rel="next" href="/board/2026-W36"' in bea.get(PAGE).text
    assert 'rel="prev" href="/board/2026-W34"' in bea.get("/board/2026-W36").text
    posted_kitchen.now[0] = datetime.combine(date(2026, 9, 2), FRIDAY.timetz())
    assert bea.get("/board", follow=True).url.path == "/board/2026-W36"


@pytest.mark.parametrize("role", ["hand", "grower", "on_call"])
def test_others_may_not(posted_kitchen: Kitchen, role: str):
    asker = entered(posted_kitchen, role)  # type: ignore[arg-type]
    assert [asker.get(path).status_code for path in ("/board", PAGE)] == [403, 403]


def test_it_is_read_in_spanish(posted_kitchen: Kitchen):
    page = entered(posted_kitchen, "board").get(PAGE, headers={"Accept-Language": "es"}).text
    assert "Turnos y participaciones" in page
    assert "calendar hours" not in page
