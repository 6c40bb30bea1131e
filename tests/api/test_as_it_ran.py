"""Runs counted and billed once, racks that dry on, and nothing before it has come to pass."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest

from api.records.happened import OutageEntry
from api.services.bills import months_bills
from api.services.corrections import Right, correct_lot
from api.services.dry_checks import Check, dry_check
from api.services.handing_out import hand_out
from api.services.held import Back, send_back
from api.services.lots import pack
from api.services.ports import Book
from api.services.posting import post
from api.services.runs import Start, end, kept_runs, start, unload
from api.services.season import season
from api.services.taking_in import take_in
from scheduler.domain.outage import StartedCharge
from scheduler.domain.plan import Plan
from scheduler.process.dry_check import Decision, Reading
from scheduler.season.counts import prepared_and_dried, waiting
from scheduler.season.records import Ran, Season, WeekRecord
from scheduler.season.trails import Trails
from scheduler.units import HOUR, Racks
from tests.api.test_promises import laid_out
from tests.api.test_runs import AUGUST, at, hand, weighed_in
from tests.book import MANAGER, doing
from tests.shelves import FRIDAY, fresh_shelf

LATER = at("12:00", days=20)


@pytest.fixture
def book(tmp_path: Path, plan: Plan) -> Iterator[Book]:
    """August posted, R03 at the door."""
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), AUGUST)
        post(found, doing(MANAGER), laid_out(found, plan))
        weighed_in(found, "R03")
        yield found


def records(book: Book, *, until: datetime = LATER) -> Season:
    return season(book, doing(MANAGER, until), first=AUGUST.week, last=AUGUST.week)


def of_week(book: Book, *, until: datetime = LATER) -> WeekRecord:
    return records(book, until=until).weeks[0]


def owed(book: Book, *, until: datetime = LATER, month: int = 8) -> dict[str, int]:
    found = months_bills(book, doing(MANAGER, until), date(2026, month, 1))
    return {each.grower_id: each.total for each in found.invoices}


def dried(book: Book, *racks: int) -> None:
    """R03 in D2 as posted, or with its racks named; out at 18:25."""
    named = tuple(StartedCharge("R03", Racks(each)) for each in racks)
    ends = at("17:55") if named else None
    said = Start("D2", at("09:55"), 55.0 if named else None, ends, named)
    kept = start(book, hand(at("09:55")), said)
    end(book, hand(at("17:56")), kept.number, at("17:55"))
    unload(book, hand(at("18:30")), kept.number, at("18:25"))


def checked(book: Book, decision: Decision, when: datetime) -> None:
    readings = tuple(Reading(rack, 0.62 if decision == "hold" else 0.5, 9.0) for rack in (1, 9, 18))
    (found,) = book.lots.where(note_id="R03")
    check = Check(readings, decision, "Lotte Amberry")
    dry_check(book, hand(when), found.code, version=found.version, check=check)


def sent_back(book: Book, when: datetime) -> None:
    (found,) = book.lots.where(note_id="R03")
    back = Back("D2")
    send_back(book, hand(when), found.code, version=found.version, back=back)


def of_r03(week: WeekRecord) -> list[Ran]:
    return [each for each in week.ran if each.run.charges[0].note_id == "R03"]


def events(book: Book) -> list[str]:
    (found,) = book.lots.where(note_id="R03")
    return [each.event for each in Trails(records(book)).of(found.code).steps]


def lines(book: Book) -> dict[str, int]:
    found = months_bills(book, doing(MANAGER, LATER), date(2026, 8, 1)).invoices
    return {line.fee.what: line.amount for each in found for line in each.lines}


def test_a_run_with_its_racks_named_counts_as_the_one_that_was_posted(book: Book):
    as_posted, weights = lines(book), prepared_and_dried(records(book))
    dried(book, 17)
    found = records(book)
    (ran,) = of_r03(found.weeks[0])
    assert (ran.on_record, ran.run.racks, ran.again) == (True, 17, False)
    assert prepared_and_dried(found) == weights
    named = lines(book)
    assert named.pop("rack-hours by day") * 18 == as_posted.pop("rack-hours by day") * 17
    assert named == as_posted
    assert {"table hours", "bench hours"} <= set(named)
    assert events(book).count("run start") == 1


def test_both_parts_of_a_split_lot_in_one_run(book: Book, plan: Plan):
    weighed_in(book, "R07")
    weights = prepared_and_dried(records(book))
    said = (StartedCharge("R07", Racks(38)),)
    tuesday = at("10:00", days=1)
    start(book, hand(tuesday), Start("D3", tuesday, 57.0, at("16:00", days=1), said))
    week = of_week(book)
    own = [each for each in week.ran if each.run.charges[0].note_id == "R07"]
    (ran,) = own
    assert [(each.letter, each.racks) for each in ran.run.charges] == [("A", 20), ("B", 18)]
    assert all(each.preparation for each in ran.run.charges)
    assert prepared_and_dried(records(book)) == weights


def test_one_part_named_leaves_the_other_as_posted(book: Book):
    weighed_in(book, "R07")
    weights = prepared_and_dried(records(book))
    said = (StartedCharge("R07", Racks(19)),)
    tuesday = at("10:00", days=1)
    start(book, hand(tuesday), Start("D1", tuesday, 57.0, at("16:00", days=1), said))
    own = [each for each in of_week(book).ran if each.run.charges[0].note_id == "R07"]
    assert [(each.on_record, each.run.charges[0].letter) for each in own] == [
        (True, "A"),
        (False, "B"),
    ]
    assert prepared_and_dried(records(book)) == weights


def test_racks_sent_back_are_dried_again(book: Book):
    dried(book)
    before = prepared_and_dried(records(book))
    checked(book, "hold", at("18:40"))
    sent_back(book, at("18:45"))
    first, second = of_r03(of_week(book))
    assert (first.again, second.again) == (False, True)
    assert prepared_and_dried(records(book)) == before
    told = events(book)
    assert (told.count("run start"), told.count("dried again")) == (1, 1)
    names = [line for line in lines(book) if not line.startswith("rack-hours")]
    assert sorted(names) == sorted(set(names))


def test_racks_that_dry_on_after_a_stop_are_dried_again(book: Book):
    start(book, hand(at("09:55")), Start("D2", at("09:55")))
    before = prepared_and_dried(records(book))
    stop = OutageEntry("D2", at("12:00"), None, "fan", "sal")
    book.outages.add(stop)
    said = Start("D1", at("13:00"), 50.0, at("18:55"), (StartedCharge("R03", Racks(18)),))
    start(book, hand(at("13:00")), said)
    first, second = of_r03(of_week(book))
    assert (first.again, second.again) == (False, True)
    assert prepared_and_dried(records(book)) == before


def test_a_further_run_in_the_week_after_belongs_to_its_lot(book: Book):
    dried(book)
    checked(book, "hold", at("18:40"))
    monday = at("09:00", days=7)
    further = kept_runs(book, AUGUST.week)[0].number
    racks = (StartedCharge("R03", Racks(18)),)
    said = Start("D2", monday, 50.0, at("11:00", days=7), racks, further=further)
    start(book, hand(monday), said)
    _, second = of_r03(of_week(book))
    assert (second.run.start, second.again) == (monday, True)
    assert events(book)[-1] == "run end"
    assert "dried again" in events(book)
    assert second.rack_s == 18 * 2 * HOUR


def test_nothing_is_owed_for_what_has_not_come_to_pass(book: Book, plan: Plan):
    assert owed(book, until=FRIDAY) == {}
    week = of_week(book, until=FRIDAY)
    assert not week.ran
    waits = {each.note_id for each in plan.waiting}
    assert {note.id for note, _, _ in waiting(week)} == waits  # a place to come is a place
    assert owed(book, until=at("17:50")) == {}  # R03 is in the dryer until 17:55
    assert set(owed(book)) == {AUGUST.note("R03").grower_id}  # of the others no lot came


def test_a_lot_was_packed_once_and_went_when_it_went(book: Book):
    dried(book)
    checked(book, "pass", at("18:40"))
    (found,) = book.lots.where(note_id="R03")
    packed = pack(book, hand(at("19:00")), found.code, version=found.version, bags=60)
    out = at("10:00", days=19)
    later = hand_out(book, hand(out), found.code, version=packed.version, bags=40, to="market")
    right = Right(bags=50)
    correct_lot(book, hand(LATER), found.code, version=later.version, right=right, why="recount")
    steps = {each.event: each for each in Trails(records(book)).of(found.code).steps}
    assert steps["transformation"].at == at("19:00")
    assert steps["shipping"].at == out
