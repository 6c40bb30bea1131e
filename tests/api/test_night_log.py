"""The night log: written and never unwritten, clocks of part-lots, a named person's decision."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from api.records.happened import OutageEntry
from api.services.asking import asked_of
from api.services.emergencies import part_lots_of_log, proposed
from api.services.errors import NotAllowed, NotNow
from api.services.lots import door
from api.services.night import night_of, week_inside
from api.services.night_log import (
    Decided,
    PartClock,
    Seen,
    Wrote,
    decide,
    night_log,
    parts_inside,
    recent_logs,
    write_night_log,
)
from api.services.outages import down, up
from api.services.ports import Book
from api.services.roles import Doing
from api.services.runs import Start, start
from api.services.taking_in import take_in
from scheduler.domain.outage import Happened, StartedCharge
from scheduler.domain.part_lot import Discarded, GoesOn, PartLot
from scheduler.domain.plan import Plan
from scheduler.emergency import asked_in_hand, with_parts
from scheduler.errors import BadInput
from scheduler.exposure_clock import part_clock
from scheduler.scenario import load
from scheduler.units import HOUR, Racks
from scheduler.verify import verify
from tests.book import GROWER, HAND, MANAGER, ON_CALL, doing
from tests.shelves import fresh_shelf

NIGHT = load("dryer_down")


def at(clock: str, day: int = 19) -> datetime:
    return datetime.fromisoformat(f"2026-08-{day}T{clock}-04:00")


STOP = at("22:10", 18)


def jun(when: datetime) -> Doing:
    return doing(ON_CALL, when)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """D3 with R09 in it stops at 22:10, as the invented night tells."""
    asked = replace(NIGHT, happened=Happened(NIGHT.happened.now, NIGHT.happened.runs, ()))
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), asked)
        down(found, doing(HAND, at("22:45", 18)), "D3", stopped=STOP, cause="fan motor")
        yield found


def number(book: Book) -> int:
    return book.outages.where(station_id="D3")[0].number


def writes(
    book: Book, when: datetime, part: str, seen: Seen, celsius: float | None = None
) -> tuple[PartClock, ...]:
    return write_night_log(book, jun(when), number(book), Wrote(part, seen, "", celsius)).clocks


def test_at_the_door_at_2245_the_clock_stands_at_35_minutes(book: Book):
    (found,) = night_log(book, jun(at("22:45", 18)), number(book)).clocks
    assert (found.part, found.racks, found.clock.exposed_s) == ("R09", 40, 35 * 60)
    assert found.clock.ask_by == at("02:10")
    assert not found.asks


def test_the_human_answer_keeps_both_parts_inside_the_limit(book: Book):
    writes(book, at("00:00"), "R09 A", "back to dryer")
    parts = {each.part: each for each in writes(book, at("00:30"), "R09 B", "into the cold", 3)}
    assert parts["R09 A"].clock.exposed_s == 110 * 60
    assert parts["R09 B"].clock.exposed_s == 140 * 60
    assert not any(each.clock.runs for each in parts.values())
    later = night_log(book, doing(MANAGER, at("08:00")), number(book))
    assert {each.clock.exposed_s for each in later.clocks} == {110 * 60, 140 * 60}


def test_part_b_at_14_degrees_is_over_the_limit_asked_and_not_decided(book: Book):
    writes(book, at("00:00"), "R09 A", "back to dryer")
    writes(book, at("00:30"), "R09 B", "into the cold", 3)
    first = writes(book, at("02:30"), "R09 B", "found warm", 14)[0]
    assert (first.part, first.clock.exposed_s) == ("R09 B", 4 * HOUR + 20 * 60)
    assert (first.asks, first.decided) == (True, None)
    who = jun(at("02:40"))
    with pytest.raises(BadInput, match="must be filled in"):
        decide(book, who, number(book), part="R09 B", decided=Decided("discard", " "))
    with pytest.raises(NotNow, match="nothing is asked about R09 A"):
        decide(book, who, number(book), part="R09 A", decided=Decided("x", "Lotte Amberry"))
    said = Decided("discard it", "Lotte Amberry", discards=True)
    done = decide(book, who, number(book), part="R09 B", decided=said)
    (decided,) = [each for each in done.entries if each.decided_by]
    assert (decided.text, decided.decided_by, decided.by) == (
        "discard it", "Lotte Amberry", "nell"
    )  # fmt: skip
    assert not any(each.asks for each in done.clocks)
    assert [each.seen for each in done.entries] == [
        "back to dryer", "into the cold", "found warm", "decided",
    ]  # fmt: skip
    assert done.entries[2].celsius == 14


def test_what_cannot_be_is_refused(book: Book):
    with pytest.raises(BadInput, match="R11 was not inside"):
        writes(book, at("00:00"), "R11", "into the cold")
    with pytest.raises(BadInput, match="must be chosen"):
        writes(book, at("00:00"), "", "into the cold")
    for when, told in ((at("03:00"), "has not come"), (at("20:00", 18), "before it stopped")):
        wrote = Wrote("R09", "noted", "x", at=when)
        with pytest.raises(BadInput, match=told):
            write_night_log(book, jun(at("00:00")), number(book), wrote)
    with pytest.raises(NotAllowed):
        write_night_log(book, doing(GROWER, at("00:00")), number(book), Wrote("", "noted", "x"))


def test_a_run_of_sunday_that_stops_on_monday_is_of_its_own_week(tmp_path: Path):
    later = timedelta(days=5)
    runs = tuple(
        replace(each, start=each.start + later, end=each.end + later)
        for each in NIGHT.happened.runs
        if each.charges[0].note_id == "R09"
    )
    now = at("02:05", 24)
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), replace(NIGHT, happened=Happened(now, runs, ())))
        stop = down(found, doing(HAND, now), "D3", stopped=at("02:00", 24), cause="fan motor")
        told = proposed(found, doing(MANAGER, now), stop.number)
        _, house = night_of(found, doing(MANAGER, now), stop.number)
        assert house
        assert week_inside(house, stop) == NIGHT.week
    assert told
    assert {each.note_id for each in told.found.part_lots} == {"R09"}


def test_every_line_is_in_the_trail_of_deeds(book: Book):
    writes(book, at("00:00"), "", "noted")
    assert book.deeds.last(act="keep night log", subject="D3")


def test_what_is_in_control_is_proposed_no_more(book: Book):
    writes(book, at("00:00"), "R09 A", "back to dryer")
    found = proposed(book, doing(MANAGER, at("00:10")), number(book))
    assert found
    (second,) = found.found.part_lots
    assert (second.code, second.racks) == ("R09 B", 20)
    writes(book, at("00:30"), "R09 B", "into the cold", 3)
    assert proposed(book, doing(MANAGER, at("08:00")), number(book)) is None


def test_no_way_is_told_that_its_clock_does_not_let(book: Book):
    found = proposed(book, doing(MANAGER, at("08:00")), number(book))
    assert found
    assert found.found.ways == {"R09": ()}
    assert [each.code for each in found.found.decisions] == ["R09"]


def test_14_degrees_are_not_cold_whatever_is_written(book: Book):
    (found,) = writes(book, at("00:30"), "R09", "into the cold", 14)
    assert (found.clock.runs, found.clock.exposed_s) == (True, 140 * 60)
    writes(book, at("01:00"), "R09", "into the cold", 3)
    (found,) = writes(book, at("02:30"), "R09", "noted", 14)
    assert (found.clock.runs, found.asks) == (True, True)
    (found,) = writes(book, at("02:40"), "R09", "back to dryer", 40)
    assert not found.clock.runs


def test_a_decision_holds_for_what_was_known_of(book: Book):
    writes(book, at("03:00"), "R09", "noted", 14)
    who, told = jun(at("03:05")), "into the freezer"
    decide(book, who, number(book), part="R09", decided=Decided(told, "Lotte Amberry"))
    (found,) = writes(book, at("03:10"), "R09", "into the cold", 3)
    assert not found.asks
    (found,) = writes(book, at("09:00"), "R09", "found warm", 20)
    assert found.asks


def test_a_line_is_of_what_has_a_clock(book: Book):
    (whole,) = night_log(book, jun(at("22:45", 18)), number(book)).clocks
    assert parts_inside([whole]) == ("R09", "R09 A", "R09 B")
    lettered = replace(whole, code="R09 A", part="R09 A")
    assert parts_inside([lettered]) == ("R09 A", "R09 A A", "R09 A B")
    assert parts_inside([replace(lettered, is_part_lot=True)]) == ("R09 A",)
    halves = writes(book, at("00:30"), "R09 B", "into the cold", 3)
    assert set(parts_inside(halves)) == {"R09", "R09 A", "R09 B"}


def in_the_week(book: Book, when: datetime, plan: Plan) -> tuple[PartLot, ...]:
    """What a mend of that plan would start from."""
    asked = asked_of(book, NIGHT.week, now=when)
    return part_lots_of_log(book, doing(MANAGER, when), asked, plan, when)


@pytest.mark.parametrize("posted", [False, True], ids=["first mend", "posted part-lots"])
def test_what_is_discarded_is_in_the_next_mend(book: Book, posted: bool):
    """B is found warm and discarded: no more is planned for it, and A stays as it is."""
    plan = Plan(NIGHT.week, "full", (), ())
    writes(book, at("00:00"), "R09 A", "back to dryer")
    writes(book, at("00:30"), "R09 B", "into the cold", 3)
    if posted:
        plan = replace(plan, part_lots=in_the_week(book, at("00:35"), plan))
        assert in_the_week(book, at("00:40"), plan) == ()
    writes(book, at("02:30"), "R09 B", "found warm", 14)
    warm = {each.code: each for each in in_the_week(book, at("02:35"), plan)}["R09 B"]
    assert (warm.held, warm.dries_on, warm.discarded) == (None, None, None)
    said = Decided("too long warm", "Lotte Amberry", discards=True)
    decide(book, jun(at("02:40")), number(book), part="R09 B", decided=said)
    made = {each.code: each for each in in_the_week(book, at("02:45"), plan)}
    assert made["R09 B"].discarded == Discarded("Lotte Amberry", at("02:40"))
    assert (made["R09 B"].held, made["R09 B"].dries_on) == (None, None)
    every = with_parts(plan, made.values())
    assert {each.code: each.racks for each in every.part_lots} == {"R09 A": 20, "R09 B": 20}
    asked = asked_of(book, NIGHT.week, now=at("02:45"))
    told = asked_in_hand(asked, every, at("02:45"))
    assert [each for each in verify(told, every) if "R09" in each.message] == []


def comes_back(book: Book, when: datetime) -> None:
    stop = book.outages.where(station_id="D3")[0]
    up(book, doing(MANAGER, when), stop.number, version=stop.version, back=when)


def due(book: Book, who: Doing) -> list[str]:
    return [clock.part for log in recent_logs(book, who) for clock in log.clocks if clock.is_due]


def test_a_clock_stays_on_the_sheet_though_the_dryer_was_down_for_longer_than_a_day(book: Book):
    back = STOP + timedelta(hours=26)
    comes_back(book, back)
    for who in (ON_CALL, MANAGER):
        assert due(book, doing(who, back + timedelta(hours=23))) == ["R09"]
        assert due(book, doing(who, back + timedelta(hours=25))) == []


def test_what_was_written_of_stays_on_the_sheet_until_somebody_decides(book: Book):
    writes(book, at("23:00", 18), "R09", "out in the warm")
    comes_back(book, at("23:40", 18))
    later = doing(MANAGER, at("23:45", 21))
    assert due(book, later) == ["R09"]
    assert due(book, jun(later.at)) == []
    decide(book, later, number(book), part="R09", decided=Decided("gone", "Lotte", True))
    assert recent_logs(book, later) == ()


@pytest.mark.parametrize(("back", "held_in"), [("00:30", "F1"), ("00:15", "K1")])
def test_what_is_put_into_the_cold_is_where_it_was_cold_then(book: Book, back: str, held_in: str):
    """A was proposed to dry on at once, so no cold place of it is known; the cold store is down."""
    stop = down(book, doing(HAND, at("23:00", 18)), "K1", stopped=at("23:00", 18))
    writes(book, at("00:20"), "R09 A", "into the cold", 3)
    up(book, doing(MANAGER, at("00:30")), stop.number, version=stop.version, back=at(back))
    parts = in_the_week(book, at("00:40"), Plan(NIGHT.week, "full", (), ()))
    (held,) = (each.held for each in parts if each.code == "R09 A")
    assert held
    assert (held.station_id, held.since) == (held_in, at("00:20"))


def test_what_was_cold_a_minute_before_the_limit_is_not_over_it_in_the_mend(book: Book):
    now = at("05:00")
    writes(book, at("02:09"), "R09", "into the cold", 3)
    plan = Plan(NIGHT.week, "full", (), ())
    made = with_parts(plan, in_the_week(book, now, plan))
    (part,) = made.part_lots
    assert part_clock(part, now).exposed_s == 239 * 60
    told = asked_in_hand(asked_of(book, NIGHT.week, now=now), made, now)
    faults = [each.message for each in verify(told, made)]
    assert [each for each in faults if "R09" in each or "part-lots" in each] == []


def test_a_stop_and_a_decision_of_just_now_can_be_mended(tmp_path: Path):
    """A clock knows parts of a second; a plan does not (rule 1)."""
    asked = replace(NIGHT, happened=Happened(NIGHT.happened.now, NIGHT.happened.runs, ()))
    plan, part_of_it = Plan(NIGHT.week, "full", (), ()), timedelta(microseconds=123_456)
    pressed, now = at("02:40") + part_of_it, at("03:00") + part_of_it
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as book:
        take_in(book, doing(MANAGER), asked)
        down(book, doing(HAND, STOP + part_of_it), "D3", stopped=STOP + part_of_it)
        write_night_log(book, jun(pressed), number(book), Wrote("R09", "found warm", "", 14))
        said = Decided("too long warm", "Lotte Amberry", discards=True)
        decide(book, jun(pressed), number(book), part="R09", decided=said)
        made = with_parts(plan, in_the_week(book, now, plan))
        told = asked_in_hand(asked_of(book, NIGHT.week, now=now), made, now)
    assert [each.discarded for each in made.part_lots] == [Discarded("Lotte Amberry", at("02:40"))]
    assert [each for each in verify(told, made) if "part-lots" in each.message] == []


def test_a_stop_kept_with_parts_of_a_second_is_read_to_the_second():
    entry = OutageEntry("D3", STOP + timedelta(microseconds=123_456), None, "fan motor", HAND.id)
    assert entry.stopped == entry.outage.stopped == STOP


def test_what_is_on_record_in_another_dryer_needs_no_line_of_the_log(book: Book):
    """A is written down as a run in D2 alone, B only in the log."""
    now, plan = at("03:00"), Plan(NIGHT.week, "full", (), ())
    note, racks = NIGHT.note("R09"), StartedCharge("R09", Racks(20))
    door(book, doing(HAND, note.arrives), note.id, note.field_g)
    start(book, doing(HAND, at("00:41")), Start("D2", at("00:41"), 57.0, at("05:41"), (racks,)))
    writes(book, at("00:30"), "R09 B", "into the cold", 3)
    made = with_parts(plan, in_the_week(book, now, plan))
    first, second = sorted(made.part_lots, key=lambda each: each.letter)
    assert (first.racks, first.held, second.racks) == (20, None, 20)
    assert first.dries_on
    assert (first.dries_on.dryer_id, first.dries_on.start) == ("D2", at("00:45"))
    assert second.held
    assert second.held.since == at("00:30")
    told = asked_in_hand(asked_of(book, NIGHT.week, now=now), made, now)
    assert [each for each in verify(told, made) if "R09" in each.message] == []


OFTEN: dict[str, tuple[tuple[str, Seen], ...]] = {
    "cold twice": (
        ("01:00", "into the cold"), ("03:00", "out in the warm"), ("03:20", "into the cold"),
    ),
    "drying twice": (
        ("01:00", "back to dryer"), ("03:00", "out in the warm"), ("03:20", "back to dryer"),
    ),
    "dried, then cold": (
        ("00:00", "back to dryer"), ("02:00", "out in the warm"), ("02:30", "into the cold"),
        ("03:30", "into the cold"), ("04:00", "back to dryer"),
    ),
    "cold, then dried": (
        ("00:00", "into the cold"), ("03:00", "out in the warm"), ("03:20", "back to dryer"),
        ("04:00", "out in the warm"), ("04:10", "back to dryer"),
    ),
    "from the cold to a dryer at half past three": (
        ("00:00", "into the cold"), ("03:30", "back to dryer"),
    ),
    "found warm, and cold since": (
        ("23:00", "into the cold"), ("23:20", "out in the warm"), ("23:30", "into the cold"),
        ("00:30", "found warm"), ("01:00", "into the cold"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("lines", OFTEN.values(), ids=OFTEN)
def test_what_happened_makes_no_mend_impossible(book: Book, lines: tuple[tuple[str, Seen], ...]):
    """Its clock is that of the log, and nobody is asked who was there for what is done."""
    plan, now = Plan(NIGHT.week, "full", (), ()), at("05:00")
    writes(book, at("23:00", 18), "R09 B", "into the cold")
    for clock, seen in lines:
        writes(book, at(clock, 18 if clock > "12" else 19), "R09 A", seen)
    clocks = night_log(book, jun(now), number(book)).clocks
    (logged,) = (each for each in clocks if each.part == "R09 A")
    made = with_parts(plan, in_the_week(book, now, plan))
    (part,) = (each for each in made.part_lots if each.letter == "A")
    assert part.in_control
    assert part_clock(part, now).exposed_s == logged.clock.exposed_s
    if part.dries_on and part.held is None:
        assert part.dries_on.end - part.dries_on.start == timedelta(seconds=part.left_s + 20 * 60)
    told = asked_in_hand(asked_of(book, NIGHT.week, now=now), made, now)
    assert [each for each in verify(told, made) if "R09" in each.message] == []


@pytest.mark.parametrize("posted", [False, True], ids=["first mend", "posted part-lots"])
def test_what_a_person_lets_go_on_is_in_the_next_mend(book: Book, posted: bool):
    """B is found warm, put into the cold again and let go on: from there, by that decision."""
    plan, who = Plan(NIGHT.week, "full", (), ()), "Lotte Amberry"
    writes(book, at("00:00"), "R09 A", "back to dryer")
    writes(book, at("00:30"), "R09 B", "into the cold", 3)
    if posted:
        plan = replace(plan, part_lots=in_the_week(book, at("00:35"), plan))
    writes(book, at("02:30"), "R09 B", "found warm", 14)
    writes(book, at("02:45"), "R09 B", "into the cold", 3)
    undecided = {each.code: each for each in in_the_week(book, at("02:50"), plan)}["R09 B"]
    assert undecided.in_control is None
    both = Decided("go on", who, discards=True, goes_on=True)
    with pytest.raises(BadInput, match="they are discarded"):
        decide(book, jun(at("02:55")), number(book), part="R09 B", decided=both)
    said = Decided("dry on; the process authority is asked", who, goes_on=True)
    decide(book, jun(at("02:55")), number(book), part="R09 B", decided=said)
    now = at("03:00")
    made = with_parts(plan, in_the_week(book, now, plan))
    (part,) = (each for each in made.part_lots if each.letter == "B")
    assert part.goes_on == GoesOn(who, at("02:55"))
    assert part.held
    assert part.held.since == at("02:45")
    assert part.dries_on
    asked = asked_of(book, NIGHT.week, now=now)
    told = asked_in_hand(asked, made, now)
    assert [each for each in verify(told, made) if "R09" in each.message] == []
    assert in_the_week(book, at("03:05"), made) == ()


def test_a_decision_that_keeps_them_discards_nothing(book: Book):
    plan = Plan(NIGHT.week, "full", (), ())
    writes(book, at("00:30"), "R09", "into the cold", 3)
    writes(book, at("02:30"), "R09", "found warm", 14)
    said = Decided("into the freezer, the authority is asked", "Lotte Amberry")
    decide(book, jun(at("02:40")), number(book), part="R09", decided=said)
    assert [each.discarded for each in in_the_week(book, at("02:45"), plan)] in ([], [None])
