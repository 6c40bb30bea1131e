"""Records of a period from the book: what was posted and what came of it, and invoices of them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from api.services.bills import months_bills
from api.services.errors import NotAllowed
from api.services.lot_card import lot_card
from api.services.lots import door, pack
from api.services.outages import down
from api.services.posting import post
from api.services.runs import Start, kept_runs, start
from api.services.season import season
from scheduler.domain.clock import Week
from scheduler.domain.part_lot import Discarded, GoesOn, PartLot
from scheduler.domain.plan import Plan
from scheduler.errors import NoSuchPlan
from scheduler.process.yields import dried_g
from scheduler.season.figures import figures
from scheduler.season.sheets import csv_text
from scheduler.season.trails import Trails
from scheduler.units import HOUR, Grams, Racks, Seconds
from tests.api.test_promises import laid_out
from tests.api.test_runs import hand, weighed_in
from tests.book import MANAGER, PEOPLE, doing
from tests.dried import monday, out_of_the_dryer
from tests.served import AUGUST, WEEK, Kitchen, opened

W34 = Week.parse(WEEK)
AFTER = datetime.fromisoformat("2026-09-06T10:00:00-04:00")
ASKING = doing(PEOPLE["manager"], AFTER)
AUGUST_MONTH = date(2026, 8, 1)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    """August posted; R03 was dried on Monday in D2 from 09:55 to 17:55, checked by nobody yet, and
    R09 let go after it had a place."""
    with opened(tmp_path_factory.mktemp("season")) as found:
        number = found.laid_out(plan)
        found.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
        code, _ = out_of_the_dryer(found)
        with found.shelf.writing() as book:
            lot = book.lots.find(code)
            assert lot is not None
            pack(book, doing(PEOPLE["hand"], monday("19:00")), code, version=lot.version, bags=60)
        yield found


def test_records_tell_what_was_seen_and_else_what_was_posted(kitchen: Kitchen, plan: Plan):
    with kitchen.shelf.reading() as book:
        found = season(book, ASKING, first=W34, last=W34)
    (week,) = found.weeks
    seen = [each for each in week.ran if each.on_record]
    assert [each.run.charges[0].note_id for each in seen] == ["R03"]
    assert (seen[0].run.start, seen[0].run.end) == (monday("09:55"), monday("17:55"))
    assert week.ran == tuple(seen)  # of no other lot is known that it came
    assert len(week.expected) == len(plan.runs) - 1
    (lot,) = week.lots
    assert (lot.note_id, lot.bags, lot.packed) == ("R03", 60, monday("19:00"))
    assert lot.told_g == AUGUST.note("R03").field_g
    figure = {each.definition.key: each for each in figures(found)}
    assert figure["on_record"].numerator == 1
    assert figure["yields"].numerator == 60


def test_a_stop_that_lasts_has_taken_the_hours_that_have_passed(tmp_path: Path, plan: Plan):
    with opened(tmp_path) as found, found.shelf.writing() as book:
        post(book, doing(MANAGER), laid_out(book, plan))
        down(book, hand(monday("11:00")), "D2", stopped=monday("10:55"), cause="fan")
        asking = doing(PEOPLE["manager"], monday("11:55"))
        stopped = {
            each.definition.key: each for each in figures(season(book, asking, first=W34, last=W34))
        }
    assert stopped["down"].numerator == HOUR


def test_a_run_lasted_until_its_dryer_stopped_under_it(tmp_path: Path, plan: Plan):
    with opened(tmp_path) as found, found.shelf.writing() as book:
        post(book, doing(MANAGER), laid_out(book, plan))
        weighed_in(book, "R03")
        start(book, hand(monday("10:05")), Start("D2", monday("09:55")))
        down(book, hand(monday("11:00")), "D2", stopped=monday("10:55"), cause="fan")
        (run,) = kept_runs(book, W34)
        assert run.as_it_was.end == monday("17:55")  # as planned: its racks have hours left
        (week,) = season(book, doing(MANAGER), first=W34, last=W34).weeks
    (seen,) = [each for each in week.ran if each.on_record]
    assert seen.run.end == monday("10:55")
    assert seen.rack_s == 18 * HOUR


def test_part_lots_that_a_person_discarded_are_discarded_dried_weight(
    tmp_path: Path, plan: Plan, monkeypatch: pytest.MonkeyPatch
):
    """Ten of the lot's eighteen racks, and not those that another person lets go on."""
    stop, who = monday("10:55"), "Lotte Amberry"
    gone = PartLot("R03", "A", Racks(10), Grams(9_000), "D2", stop, Seconds(HOUR), 60.0)
    gone = replace(gone, discarded=Discarded(who, monday("15:30")))
    kept = replace(gone, letter="B", discarded=None, goes_on=GoesOn(who, monday("15:40")))
    monkeypatch.setattr("api.services.posting.verify", lambda *_: ())  # nothing has stopped there
    with opened(tmp_path) as found, found.shelf.writing() as book:
        post(book, doing(MANAGER), laid_out(book, replace(plan, part_lots=(gone, kept))))
        (code,) = weighed_in(book, "R03")
        told = season(book, ASKING, first=W34, last=W34)
        card = lot_card(book, ASKING, code.code)
    (lot,) = told.weeks[0].lots
    process = AUGUST.card(AUGUST.note("R03").card_id)
    left = process.water_out_percent
    dried = dried_g(Grams(9_000), process.water_in_percent, water_out_percent=left)
    assert lot.discarded_g == dried > 0
    figure = {each.definition.key: each for each in figures(told)}
    assert figure["discarded"].numerator == dried
    assert card.decided == (gone, kept)


def test_the_trail_of_the_book_goes_from_bag_to_farm(kitchen: Kitchen):
    with kitchen.shelf.reading() as book:
        found = season(book, ASKING, first=W34, last=W34)
    code = found.weeks[0].lots[0].code
    trail = Trails(found).of(f"{code}-B007")
    assert trail.steps[0].sent == "Brannick Glen"
    assert "transformation" in [each.event for each in trail.steps]


def test_bag_and_rack_codes_lead_to_the_lot(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    (code,) = [each["code"] for each in manager.get("/api/v1/lots").json()]
    whole = manager.get(f"/api/v1/lots/{code}/trail")
    assert whole.status_code == 200
    for part in (f"{code}-B007", f"{code}-R12", f"{code}-A-R1"):
        assert manager.get(f"/api/v1/lots/{part}/trail").json() == whole.json()
    for part in (f"{code}-B061", f"{code}-R99"):
        assert manager.get(f"/api/v1/lots/{part}/trail").status_code == 404
    assert manager.get("/api/v1/lots/26-001-G99-XXX-B001/trail").status_code == 404


def test_bags_go_forward_to_who_took_them(kitchen: Kitchen):
    hand = kitchen.by["hand"]
    (lot,) = hand.get("/api/v1/lots").json()
    path = f"/api/v1/lots/{lot['code']}/collected"
    seen = {"If-Match": f'"{lot["version"]}"'}
    first = hand.post(path, {"bags": 40, "to": "=farm shop"}, headers=seen)
    assert first.is_success
    assert hand.post(path, {"bags": 1, "to": "again"}, headers=seen).status_code == 412
    seen = {"If-Match": first.headers["ETag"]}
    assert hand.post(path, {"bags": 21, "to": "market"}, headers=seen).status_code == 409  # 20 left
    with kitchen.shelf.reading() as book:
        found = season(book, ASKING, first=W34, last=W34)
    trail = Trails(found).of(lot["code"])
    assert [(each.to, each.remark) for each in trail.steps if each.event == "shipping"] == [
        ("=farm shop", "40 bags")
    ]
    assert "'=farm shop" in csv_text(Trails(found).sheet())


def test_nothing_posted_is_no_season(kitchen: Kitchen):
    with kitchen.shelf.reading() as book, pytest.raises(NoSuchPlan, match="has been posted"):
        season(book, doing(PEOPLE["manager"]), first=Week(2025, 1), last=Week(2025, 9))


def test_a_grower_reads_her_own_invoice_without_the_numbers_of_runs(kitchen: Kitchen):
    with kitchen.shelf.reading() as book:
        for note in AUGUST.notes:
            if note.grower_id == "G01":
                door(book, doing(PEOPLE["hand"], note.arrives), note.id, note.field_g)
        every = months_bills(book, ASKING, AUGUST_MONTH)
        own = months_bills(book, doing(PEOPLE["grower"], AFTER), date(2026, 8, 20))
        with pytest.raises(NotAllowed):
            months_bills(book, doing(PEOPLE["board"]), AUGUST_MONTH)
    assert {each.grower_id for each in every.invoices} == {"G01", AUGUST.note("R03").grower_id}
    (hers,) = own.invoices
    theirs = next(each for each in every.invoices if each.grower_id == "G01")
    assert (hers.grower_id, hers.total) == ("G01", theirs.total)
    assert any("run D" in line.record for line in theirs.lines)
    assert not any("run D" in line.record for line in hers.lines)


def test_invoices_as_json_add_up(kitchen: Kitchen):
    body = kitchen.by["manager"].get("/api/v1/invoices?month=2026-08-01").json()
    assert body["currency"] == "USD"
    for invoice in body["invoices"]:
        assert invoice["total"] == sum(each["amount"] for each in invoice["lines"])
    empty = kitchen.by["manager"].get("/api/v1/invoices?month=2026-01-01").json()
    assert empty["invoices"] == []
    assert json.dumps(empty)


def test_who_let_go_is_neither_refused_nor_dried(tmp_path: Path, plan: Plan):
    with opened(tmp_path) as found:
        manager = found.by["manager"]
        manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": found.laid_out(plan)})
        note = manager.get("/api/v1/notes/R02")
        seen = {"If-Match": note.headers["ETag"]}
        said = {"state": "let go"}
        assert manager.post("/api/v1/notes/R02/end", said, headers=seen).is_success
        with found.shelf.reading() as book:
            (week,) = season(book, ASKING, first=W34, last=W34).weeks
    assert [(each.note_id, each.how) for each in week.gone] == [("R02", "let go")]
    assert "R02" not in {charge.note_id for _, charge in week.charges()}
    assert "R02" not in {note.id for note in week.notes()}
