"""A dry check fails: held, hours more, back to a dryer or discarded, told, written down."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from api.records.told import Message
from api.services.corrective import FIELDS, corrective, correctives, write_corrective
from api.services.day_to_tick import day_to_tick
from api.services.dry_checks import Check, dry_check
from api.services.errors import NotAllowed, NotNow
from api.services.held import Back, WentOn, discard, held, send_back
from api.services.lots import lot, trail
from api.services.plans import sheet_of
from api.services.ports import Book
from api.services.posting import post
from api.services.roles import Doing
from api.services.runs import Start, end, kept_runs, start, unload
from api.services.taking_in import take_in
from scheduler.domain.outage import StartedCharge
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput
from scheduler.process.dry_check import Decision, Reading
from scheduler.scenario import load
from scheduler.units import HOUR, Racks, Seconds
from tests.api.test_promises import laid_out
from tests.api.test_runs import at, hand, weighed_in
from tests.book import GROWER, HAND, MANAGER, doing
from tests.shelves import fresh_shelf

AUGUST = load("august")
EVENING = at("18:40")
FINE = tuple(Reading(rack, 0.54, 9.0) for rack in (1, 9, 18))
WET = (*FINE[:2], Reading(18, 0.62, 14.0))
SAID = {
    "what_happened": "rack 18 over the card's limit",
    "cause": "two slices lay on each other",
    "product": "dried on, to be read again",
    "done_by": "Sal Orrin",
    "verified_by": "Lotte Amberry",
}


@pytest.fixture
def book(tmp_path: Path, plan: Plan) -> Iterator[Book]:
    """R03 is out of D2 since 18:25, too moist on rack 18, and held."""
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), AUGUST)
        post(found, doing(MANAGER), laid_out(found, plan))
        weighed_in(found, "R03")
        start(found, hand(at("09:55")), Start("D2", at("09:55")))
        (run,) = kept_runs(found, AUGUST.week)
        end(found, hand(at("17:56")), run.number, at("17:55"))
        unload(found, hand(at("18:30")), run.number, at("18:25"))
        checked(found, WET, "hold", hand(EVENING))
        yield found


def code_of(book: Book) -> str:
    return book.lots.where(note_id="R03")[0].code


def checked(book: Book, readings: tuple[Reading, ...], decision: Decision, doing_it: Doing) -> None:
    found = lot(book, doing_it, code_of(book))
    check = Check(readings, decision, "Lotte Amberry")
    dry_check(book, doing_it, found.code, version=found.version, check=check)


def sent_back(book: Book, who: Doing, back: Back) -> WentOn:
    found = lot(book, who, code_of(book))
    return send_back(book, who, found.code, version=found.version, back=back)


def told(book: Book) -> Message:
    last = book.messages.last(grower_id=AUGUST.note("R03").grower_id)
    assert last
    return last


def out_again(book: Book, clock: str) -> Doing:
    """The further run has ended as planned and is unloaded."""
    last = kept_runs(book, AUGUST.week)[-1]
    later = doing(HAND, at(clock))
    unload(book, later, last.number, at(clock))
    return later


def test_the_hours_and_the_dryers_are_computed(book: Book):
    found = held(book, hand(EVENING), code_of(book))
    assert found.hours
    assert found.hours.low < found.hours.likely < found.hours.high
    assert found.dries_s >= found.hours.likely * HOUR
    ways = {each.dryer.id: each for each in found.ways}
    assert set(ways) == {"D1", "D2", "D3", "D4"}
    assert ways["D4"].why == "group"
    assert found.possible
    assert not found.manager_decides


def test_its_grower_hears_that_it_is_held(book: Book):
    assert "R03" in told(book).text
    assert "held after its dry check. Wait for word" in told(book).text


def test_back_in_its_own_dryer_it_is_a_further_run_on_record(book: Book):
    done = sent_back(book, hand(EVENING), Back("D2"))
    first, second = kept_runs(book, AUGUST.week)
    assert (second.further, second.run.dryer_id, second.run.start) == (first.number, "D2", EVENING)
    assert second.racks_of("R03") == first.racks_of("R03")
    assert done.run == second
    assert done.lot.state == "back to dryer"
    with pytest.raises(NotNow, match="no run with lot"):
        checked(book, FINE, "pass", hand(at("18:45")))
    later = out_again(book, "23:55")
    assert lot(book, later, code_of(book)).state == "off racks"
    checked(book, FINE, "pass", later)
    assert lot(book, later, code_of(book)).state == "passed"
    assert "its dry check was passed." in told(book).text


def test_the_packing_turn_moves_when_it_is_too_early_and_the_grower_hears_it(book: Book):
    before = book.turns.where(note_id="R03", kind="packing")[0]
    done = sent_back(book, hand(EVENING), Back("D2", Seconds(15 * HOUR)))  # and rests for 24 h
    after = book.turns.where(note_id="R03", kind="packing")[0]
    assert done.packing.became == "moved"
    assert after.uid == before.uid
    assert after.sequence == before.sequence + 1
    assert after.start > before.start
    assert after.end - after.start == before.end - before.start
    assert "instead of" in told(book).text
    assert len(told(book).text) < 480


def packed(book: Book) -> list[datetime]:
    """When R03 is packed by the day sheets of the week."""
    days = [at("09:00").date() + timedelta(days=each) for each in range(6)]
    sheets = [day_to_tick(book, doing(MANAGER, EVENING), day) for day in days]
    return [
        each.line.at
        for sheet in sheets
        for each in sheet.lines
        if each.line.act == "pack" and each.line.lots[0].code == "R03"
    ]


def test_a_moved_packing_turn_is_on_the_day_sheet_where_it_was_moved_to(book: Book):
    (before,) = packed(book)
    assert before == book.turns.where(note_id="R03", kind="packing")[0].start
    sent_back(book, hand(EVENING), Back("D2", Seconds(15 * HOUR)))
    (after,) = packed(book)
    assert after == book.turns.where(note_id="R03", kind="packing")[0].start
    assert after > before


def test_a_packing_turn_that_was_called_off_is_on_no_day_sheet(book: Book):
    (before,) = packed(book)
    day = before.date()
    sheet = sheet_of(book, day).sheet
    version = lot(book, hand(EVENING), code_of(book)).version
    discard(book, hand(at("18:50")), code_of(book), version=version, why="mould")
    assert packed(book) == []
    after = sheet_of(book, day).sheet
    assert [each for each in sheet.lines if each not in after.lines] == [
        each for each in sheet.lines if each.act == "pack" and each.lots[0].code == "R03"
    ]
    assert "packs R03" in str(sheet.in_the_house)
    assert "packs R03" not in str(after.in_the_house)


def test_other_growers_turns_stay(book: Book):
    others = [each for each in book.turns.where() if each.note_id != "R03"]
    sent_back(book, hand(EVENING), Back("D2"))
    assert [each for each in book.turns.where() if each.note_id != "R03"] == others


def test_a_dryer_that_cannot_take_it_is_refused_with_the_rule(book: Book):
    with pytest.raises(NotNow, match=r"cannot go into D4: it does not take this group \(rule 6\)"):
        sent_back(book, hand(EVENING), Back("D4"))
    with pytest.raises(NotNow, match=r"rules 8 and 18|rule 3"):
        sent_back(book, hand(EVENING), Back("D2", Seconds(60 * HOUR)))
    with pytest.raises(NotNow, match="into D3 from Tue"):
        sent_back(book, hand(EVENING), Back("D3"))
    with pytest.raises(BadInput, match="no dryer D9"):
        sent_back(book, hand(EVENING), Back("D9"))
    with pytest.raises(BadInput, match="at most 72"):
        sent_back(book, hand(EVENING), Back("D2", Seconds(73 * HOUR)))


def test_a_second_failure_asks_the_manager(book: Book):
    sent_back(book, hand(EVENING), Back("D2"))
    later = out_again(book, "23:55")
    checked(book, WET, "hold", later)
    assert held(book, later, code_of(book)).manager_decides
    version = lot(book, later, code_of(book)).version
    with pytest.raises(NotAllowed, match="failed a second dry check: the manager decides"):
        sent_back(book, later, Back("D2"))
    with pytest.raises(NotAllowed):
        discard(book, later, code_of(book), version=version, why="too wet")
    gone = discard(book, doing(MANAGER, at("23:56")), code_of(book), version=version, why="too wet")
    assert gone.state == "discarded"
    assert "discarded after its dry check" in told(book).text
    assert not [each for each in book.turns.where(note_id="R03") if each.turn.stands]


def test_after_two_failures_no_more_readings_of_a_hand_let_it_pass(book: Book):
    later = doing(HAND, at("18:50"))
    checked(book, WET, "hold", later)
    with pytest.raises(NotAllowed, match="the manager decides"):
        checked(book, FINE, "pass", doing(HAND, at("18:55")))
    assert lot(book, later, code_of(book)).state == "held"
    checked(book, FINE, "pass", doing(MANAGER, at("18:56")))
    assert lot(book, later, code_of(book)).state == "passed"


def test_what_is_discarded_stays_so_when_its_other_racks_come_out(book: Book):
    others = (StartedCharge("R03", Racks(5)),)
    start(book, hand(at("18:45")), Start("D1", at("18:45"), 50.0, at("23:45"), others))
    version = lot(book, hand(EVENING), code_of(book)).version
    discard(book, hand(at("18:50")), code_of(book), version=version, why="mould")
    later = out_again(book, "23:50")
    assert lot(book, later, code_of(book)).state == "discarded"
    with pytest.raises(NotNow, match="is discarded"):
        checked(book, FINE, "pass", later)


def test_the_record_is_not_closed_incomplete(book: Book):
    who = hand(EVENING)
    (record,) = correctives(book, who)
    assert record.missing == FIELDS
    part = {name: SAID[name] for name in FIELDS[:2]}
    with pytest.raises(BadInput) as refused:
        write_corrective(book, who, record.number, part, close=True)
    assert [each.field for each in refused.value.faults] == list(FIELDS[2:])
    kept = write_corrective(book, who, record.number, part, close=False)
    assert (kept.missing, kept.entries, kept.closed) == (FIELDS[2:], 1, None)
    with pytest.raises(NotNow, match="is held still"):
        write_corrective(book, who, record.number, SAID, close=True)
    sent_back(book, who, Back("D2"))
    closed = write_corrective(book, who, record.number, SAID, close=True)
    assert (closed.closed, closed.missing, closed.entries) == (EVENING, (), 2)
    assert correctives(book, who) == ()
    with pytest.raises(NotNow, match="is closed"):
        write_corrective(book, who, record.number, SAID, close=False)
    assert corrective(book, who, record.number).said == SAID
    assert len(book.happenings.where(kind="corrective action")) == 2


def test_it_is_for_the_kitchen_alone(book: Book):
    for asks in (
        lambda: correctives(book, doing(GROWER)),
        lambda: held(book, doing(GROWER), code_of(book)),
    ):
        with pytest.raises(NotAllowed):
            asks()


def test_the_trail_tells_all_of_it(book: Book):
    (record,) = correctives(book, hand(EVENING))
    write_corrective(book, hand(EVENING), record.number, SAID, close=False)
    sent_back(book, hand(EVENING), Back("D2"))
    steps = [what for what, _ in trail(book, doing(MANAGER), code_of(book)).steps()]
    assert {"dry check", "corrective action", "back to dryer"} < set(steps)
