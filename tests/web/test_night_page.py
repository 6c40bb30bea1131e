"""The keyholder at 22:10: tonight's dryers, Down at one press, what is inside, whom to ring, Up."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from api.services.asking import asked_of
from api.services.runs import kept_runs
from scheduler.domain.plan import Plan, Run
from scheduler.started import all_runs
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen
from tests.shelves import FRIDAY, fresh_shelf, put
from tests.site import HOME, entered, send, with_posted, words
from tests.worked_day import worked_day
from web.app import create_site

NIGHT, DOWN = "/night-sheet", "/night-sheet/down"
LATE = datetime(2026, 8, 19, 2, 10, tzinfo=UTC)  # 22:10 on Tuesday


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=LATE) as found:
        yield found


@pytest.fixture
def nell(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "on_call")


@pytest.fixture
def running(plan: Plan) -> Run:
    """A run that dries at 22:10, as planned."""
    return next(run for run in all_runs(AUGUST, plan) if run.start <= LATE < run.end)


def card(html: str, dryer_id: str) -> str:
    """What the sheet says of one dryer."""
    found = re.search(rf'<li[^>]*>\s*<h3><span class="station">{dryer_id}<.*?</li>\s*(?=<li|</ul>)',
                      html, re.DOTALL)  # fmt: skip
    assert found
    return words(found[0])


def pressed(asker: Asking, dryer_id: str) -> str:
    """Down, at one press; the address of the stop."""
    page = asker.get(NIGHT).text
    form = next(each for each in re.findall(r"<form.*?</form>", page, re.DOTALL)
                if f'name="station" value="{dryer_id}"' in each)  # fmt: skip
    data = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form))
    answer = asker.ask("POST", DOWN, data=data, headers=HOME)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def test_it_is_where_the_keyholder_begins(nell: Asking):
    answer = nell.get("/", follow=True)
    assert (answer.status_code, answer.url.path) == (200, NIGHT)
    page = words(answer.text)
    assert "Tuesday 18 August Night sheet, Tue 18 Aug, 19:00 to Wed 19 Aug, 07:00" in page
    assert "as it stands Tue 18 Aug, 22:10" in page


def test_each_dryer_is_told_as_it_stands(nell: Asking, plan: Plan):
    page = nell.get(NIGHT).text
    running = {run.dryer_id: run for run in all_runs(AUGUST, plan)
               if run.start <= LATE < (run.unload.end if run.unload else run.released)}  # fmt: skip
    assert 0 < len(running) < len(AUGUST.kitchen.dryers)
    for dryer in AUGUST.kitchen.dryers:
        told, run = card(page, dryer.id), running.get(dryer.id)
        if run is None:
            assert f"{dryer.name}: empty" in told
            continue
        assert (f"{dryer.name}: drying" in told) == (run.end > LATE)
        for charge in run.charges:
            farm = AUGUST.grower(AUGUST.note(charge.note_id).grower_id).farm
            assert f"{charge.code} " in told
            assert farm in told
        assert f"ends {run.end.astimezone(AUGUST.kitchen.zone):%a %-d %b, %H:%M}" in told
        assert "As planned; nobody has written it down." in told


def test_whom_to_ring_with_numbers_the_book_knows(nell: Asking, kitchen: Kitchen):
    page = nell.get(NIGHT).text
    assert "Jun Ferrow on call tonight 555-0101 Lotte Amberry manager 555-0100" in words(page)
    assert 'href="tel:5550101"' in page
    kitchen.now[0] = LATE + timedelta(hours=9)  # Wednesday, open again: the night to come
    assert "Sal Orrin on call tonight" in words(nell.get(NIGHT).text)


@pytest.mark.parametrize(
    ("at", "on_call", "opens"),
    [
        (datetime(2026, 8, 22, 23, tzinfo=UTC), "Lotte Amberry", "Mon 24 Aug, 07:00"),  # Sat 19:00
        (datetime(2026, 8, 23, 7, tzinfo=UTC), "Lotte Amberry", "Mon 24 Aug, 07:00"),  # Sun 03:00
        (datetime(2026, 8, 24, 2, tzinfo=UTC), "Jun Ferrow", "Mon 24 Aug, 07:00"),  # Sun 22:00
        (datetime(2026, 8, 24, 7, tzinfo=UTC), "Jun Ferrow", "Mon 24 Aug, 07:00"),  # Mon 03:00
        (datetime(2026, 8, 24, 11, tzinfo=UTC), "Sal Orrin", "Tue 25 Aug, 07:00"),  # Mon 07:00
    ],
)
def test_a_night_lasts_until_the_next_opening(
    nell: Asking, kitchen: Kitchen, at: datetime, on_call: str, opens: str
):
    kitchen.now[0] = at
    page = words(nell.get(NIGHT).text)
    assert f"{on_call} on call tonight" in page
    assert f"to {opens}; as it stands" in page


def test_what_is_on_record_goes_before_the_plan(nell: Asking, kitchen: Kitchen, running: Run):
    hand = kitchen.by["hand"]
    kitchen.now[0] = running.start
    for charge in running.charges:
        hand.post("/api/v1/lots", {"note_id": charge.note_id, "weighed_kg": 50})
    later = running.start + timedelta(minutes=25)
    kitchen.now[0] = LATE
    body = {
        "dryer_id": running.dryer_id,
        "started": later.isoformat(),
        "ends": (running.end + timedelta(minutes=25)).isoformat(),
        "set_point_c": running.set_point_c,
        "charges": [{"note_id": each.note_id, "racks": each.racks} for each in running.charges],
    }
    assert hand.post("/api/v1/runs", body).status_code == 201
    told = card(nell.get(NIGHT).text, running.dryer_id)
    zone = AUGUST.kitchen.zone
    assert f"started {later.astimezone(zone):%a %-d %b, %H:%M}" in told
    assert "On record." in told
    with kitchen.shelf.reading() as book:
        (kept,) = kept_runs(book, AUGUST.week)
    path = f"/api/v1/runs/{kept.number}"
    hand.post(f"{path}/end", {"at": (LATE - timedelta(minutes=10)).isoformat()})
    assert "to unload" in card(nell.get(NIGHT).text, running.dryer_id)
    hand.post(f"{path}/unload", {"at": LATE.isoformat()})
    assert ": empty" in card(nell.get(NIGHT).text, running.dryer_id)


def test_down_at_one_press_tells_what_is_inside_and_how_long_it_can_wait(
    nell: Asking, kitchen: Kitchen, running: Run
):
    where = pressed(nell, running.dryer_id)
    page = words(nell.get(where).text)
    assert f"{running.dryer_id} is written down as down." in page
    assert "is down Stopped Tue 18 Aug, 22:10" in page
    charge = running.charges[0]
    assert charge.preparation
    assert charge.code in page
    stood = running.start - charge.preparation.cut.start
    ask_by = (LATE + timedelta(hours=4) - stood).astimezone(AUGUST.kitchen.zone)
    assert f"Ask the manager by {ask_by:%a %-d %b, %H:%M}" in page
    for each in ("lock it off before anybody opens it", "licensed electrician", "four hours",
                 "Jun Ferrow on call tonight 555-0101"):  # fmt: skip
        assert each in page, each
    assert "a person decides" in page
    assert "safe" not in page
    with kitchen.shelf.reading() as book:
        (kept,) = book.outages.where()
    assert (kept.station_id, kept.stopped, kept.back, kept.by) == (
        running.dryer_id, LATE, None, "nell",
    )  # fmt: skip


def test_where_racks_could_go_is_told_for_every_other_dryer(nell: Asking, running: Run):
    page = words(nell.get(pressed(nell, running.dryer_id)).text)
    told = re.findall(r"could go to (\w+)|not to (\w+):", page)
    others = {each.id for each in AUGUST.kitchen.dryers} - {running.dryer_id}
    assert {a or b for a, b in told} == others


def test_a_stopped_dryer_is_marked_and_cannot_be_stopped_twice(nell: Asking, running: Run):
    where = pressed(nell, running.dryer_id)
    page = nell.get(NIGHT).text
    assert f"{running.dryer_id}, down since Tue 18 Aug, 22:10" in card(page, running.dryer_id)
    assert f'href="{where}"' in page
    assert f'name="station" value="{running.dryer_id}"' not in page
    again = nell.ask("POST", DOWN, data={"station": running.dryer_id}, headers=HOME)
    stop = again.headers["location"]  # the open one: what is inside, how long it can wait
    assert (again.status_code, f'href="{stop}"' in page) == (303, True)
    notice = nell.get(stop).text
    assert f"{running.dryer_id} is down already." in notice
    assert "It was a mistake" not in notice
    assert "is down already" not in nell.get(stop).text


def test_up_and_by_mistake(nell: Asking, kitchen: Kitchen, running: Run):
    where = pressed(nell, running.dryer_id)
    undo = re.search(r'<div class="notice".*?</div>', nell.get(where).text, re.DOTALL)
    assert undo
    data = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', undo[0]))
    kitchen.now[0] = LATE + timedelta(minutes=3)
    assert nell.ask("POST", f"{where}/up", data=data, headers=HOME).status_code == 303
    with kitchen.shelf.reading() as book:
        assert asked_of(book, AUGUST.week, now=LATE).happened.outages == ()
    assert "No station stopped." in entered(kitchen, "board").get(f"/board/{WEEK}").text
    where = pressed(nell, running.dryer_id)
    assert "It was a mistake" in nell.get(where).text
    kitchen.now[0] += timedelta(hours=1)
    assert send(nell, where, {}, form=f"{where}/up").headers["location"] == NIGHT
    with kitchen.shelf.reading() as book:
        first, second = book.outages.where()
    assert first.back == first.stopped == LATE
    assert (second.stopped, second.back) == (
        LATE + timedelta(minutes=3), LATE + timedelta(minutes=63),
    )  # fmt: skip
    assert "down since" not in nell.get(NIGHT).text
    assert "was down" in words(nell.get(where).text)


@pytest.mark.parametrize(
    ("said", "field", "fault"),
    [
        ({"day": "2026-08-19", "at": ""}, "at", "must be filled in"),
        ({"day": "", "at": "soon"}, "at", "must be a time of day"),
        ({"day": "", "at": "07:00"}, "at", "is before it stopped"),  # of today
    ],
)
def test_a_fault_of_up_stands_at_its_field(
    nell: Asking, running: Run, said: dict[str, str], field: str, fault: str
):
    where = pressed(nell, running.dryer_id)
    nell.get(where)  # the notice with its own way back goes
    answer = send(nell, where, said, form=f"{where}/up")
    assert answer.status_code == 422
    assert f'id="{field}-fault">{fault}' in answer.text
    assert f'value="{said["day"] or said["at"]}"' in answer.text
    assert "Ask the manager by" in words(answer.text)  # and all the rest of the stop
    assert send(nell, where, {}, form=f"{where}/up").status_code == 303


def test_up_at_a_time_of_today(nell: Asking, kitchen: Kitchen, running: Run):
    where = pressed(nell, running.dryer_id)
    nell.get(where)  # the notice with its own way back goes
    said = {"day": "", "at": "23:50"}
    assert send(nell, where, said, form=f"{where}/up").status_code == 303
    with kitchen.shelf.reading() as book:
        (kept,) = book.outages.where()
    assert kept.back == datetime.fromisoformat("2026-08-18T23:50-04:00")


def test_another_station_and_some_time_ago(nell: Asking, kitchen: Kitchen):
    said = {"station": "K1", "day": "2026-08-18", "at": "21:30", "cause": "the compressor is hot"}
    where = send(nell, DOWN, said).headers["location"]
    page = words(nell.get(where).text)
    assert "K1 Cold store is down Stopped Tue 18 Aug, 21:30: the compressor is hot" in page
    assert re.search(r"In the cold store R\d\d .*?at 20 °C only until about", page)
    assert "Ask the manager by" not in page
    assert "K1, down since Tue 18 Aug, 21:30" in words(nell.get(NIGHT).text)


@pytest.mark.parametrize(
    ("wrong", "fault"),
    [
        ({"station": ""}, "must be filled in"),
        ({"station": "D9"}, "there is no station D9"),
        ({"at": "23:30"}, "has not come yet"),
        ({"at": "late"}, "must be a time of day"),
        ({"day": "1126-08-18"}, ""),
    ],
)
def test_faults_stand_at_their_fields(
    nell: Asking, kitchen: Kitchen, wrong: dict[str, str], fault: str
):
    said = {"station": "D3", "day": "2026-08-18", "at": "21:30"} | wrong
    answer = send(nell, DOWN, said)
    assert answer.status_code == 422
    assert fault in answer.text
    with kitchen.shelf.reading() as book:
        assert book.outages.where() == ()


def test_who_is_on_call_reads_no_night_that_is_over(nell: Asking, kitchen: Kitchen, running: Run):
    where = pressed(nell, running.dryer_id)
    send(nell, where, {}, form=f"{where}/up")
    assert running.charges[0].code in nell.get(where).text
    kitchen.now[0] = LATE + timedelta(days=3)
    page = nell.get(where).text
    assert running.charges[0].code not in page
    assert "for the kitchen to read, once the night is over" in page
    assert running.charges[0].code in entered(kitchen, "hand").get(where).text


@pytest.mark.parametrize("role", ["grower", "board"])
def test_others_may_not(kitchen: Kitchen, nell: Asking, role: str, running: Run):
    where = pressed(nell, running.dryer_id)
    asker = entered(kitchen, role)  # type: ignore[arg-type]
    for path in (NIGHT, DOWN, where):
        assert asker.get(path).status_code == 403, path
    for path in (DOWN, f"{where}/up"):
        sent = asker.ask("POST", path, data={"station": "D1", "version": "1"}, headers=HOME)
        assert sent.status_code == 403, path


def test_a_week_without_a_plan_still_has_its_dryers_and_numbers(nell: Asking, kitchen: Kitchen):
    kitchen.now[0] = FRIDAY
    page = nell.get(NIGHT).text
    assert all(": empty" in card(page, each.id) for each in AUGUST.kitchen.dryers)
    assert "Lotte Amberry on call tonight and manager 555-0100" in words(page)


def test_a_book_with_a_plan_alone_is_read_at_its_machine(tmp_path: Path):
    with fresh_shelf(tmp_path) as shelf:
        site = Asking(create_site(shelf, clock=lambda: LATE), base_url="http://127.0.0.1")
        assert "No plan yet" in site.get(NIGHT).text
        put(shelf, AUGUST, worked_day(AUGUST))
        page = site.get(NIGHT).text
        assert "R09 tomato" in card(page, "D3")
        assert "As pencilled, not posted; nobody has written it down." in card(page, "D3")
        assert 'name="station"' not in page


def test_a_calendar_of_nights_or_of_a_station(nell: Asking, kitchen: Kitchen):
    assert send(nell, "/my-calendar", {}).status_code == 303
    made = re.search(r"<code>http://kitchen(/api/v1/feeds/[^<]+)</code>",
                     nell.get("/my-calendar").text)  # fmt: skip
    assert made
    assert "SUMMARY:On call" in kitchen.nobody().get(made[1]).text
    hand = entered(kitchen, "hand")
    assert send(hand, "/my-calendar", {"of": "D3"}).status_code == 303
    made = re.search(r"<code>http://kitchen(/api/v1/feeds/[^<]+)</code>",
                     hand.get("/my-calendar").text)  # fmt: skip
    assert made
    assert "BEGIN:VEVENT" in kitchen.nobody().get(made[1]).text
    assert "D3: Made" in words(hand.get("/my-calendar").text)
    nowhere = hand.ask("POST", "/my-calendar", data={"of": "D9"}, headers=HOME)
    assert nowhere.status_code == 404
