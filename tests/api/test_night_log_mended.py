"""What the night log holds, and what a named person decided there, in the next mend."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from api.services.asking import asked_of
from api.services.lots import door
from api.services.night_lines import Decided, Wrote, decide, write_night_log
from api.services.night_log import Seen, night_log
from api.services.outages import down, up
from api.services.ports import Book
from api.services.runs import Start, start
from api.services.taking_in import take_in
from scheduler.domain.outage import Happened, StartedCharge
from scheduler.domain.part_lot import Discarded, GoesOn
from scheduler.domain.plan import Plan
from scheduler.emergency import asked_in_hand, with_parts
from scheduler.errors import BadInput
from scheduler.exposure_clock import part_clock
from scheduler.units import Racks
from scheduler.verify import verify
from tests.api.night_logs import NIGHT, STOP, at, in_the_week, jun, number, stopped_night, writes
from tests.book import HAND, MANAGER, doing
from tests.shelves import fresh_shelf


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with stopped_night(tmp_path) as found:
        yield found


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
    assert in_the_week(book, at("02:45"), plan) == ()
