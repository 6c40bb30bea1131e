"""One lot's place anew: at the door, later than told, and freed room for who waits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from api.services.errors import NotAllowed, NotNow
from api.services.lots import door
from api.services.notes import end, note
from api.services.outages import down
from api.services.places import PlanBroken, comes_later, look_later, offers, take, ways
from api.services.plans import plan_of
from api.services.ports import Book
from api.services.posting import post
from api.services.roles import Doing
from api.services.runs import Start, start
from api.services.taking_in import take_in
from scheduler.domain.plan import Plan
from scheduler.scenario import load
from scheduler.units import grams
from tests.api.test_promises import laid_out
from tests.api.test_runs import at
from tests.book import GROWER, HAND, MANAGER, doing
from tests.shelves import fresh_shelf

AUGUST = load("august")
MONDAY = at("08:05")


def on(day: int, clock: str) -> datetime:
    return datetime.fromisoformat(f"2026-08-{day}T{clock}-04:00")


def hand(when: datetime = MONDAY) -> Doing:
    return doing(HAND, when)


@pytest.fixture
def book(tmp_path: Path, plan: Plan) -> Iterator[Book]:
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), AUGUST)
        post(found, doing(MANAGER), laid_out(found, plan))
        yield found


def turns(book: Book, *besides: str) -> dict[str, Any]:
    """Of everybody else."""
    return {
        each.uid: (each.start, each.end, each.state, each.sequence)
        for each in book.turns.where(week=AUGUST.week)
        if each.note_id not in besides
    }


def told(book: Book, note_id: str) -> str:
    found = book.messages.last(grower_id=AUGUST.note(note_id).grower_id)
    assert found
    return found.text


def test_as_noted_its_turn_holds(book: Book):
    assert ways(book, hand(), "R02").holds


def test_r02_at_158_kg_is_placed_in_part_at_one_press_and_nobody_else_moves(book: Book):
    before = turns(book, "R02")
    door(book, hand(), "R02", grams(158), at=MONDAY)
    found = ways(book, hand(), "R02")
    assert (found.holds, [each.kind for each in found.places]) == (False, ["part"])
    done = take(book, hand(), "R02", "part")
    assert turns(book, "R02") == before
    assert {each.grower_id for each in done.messages} == {"G01"}
    assert "R02 tomato 158 kg" in told(book, "R02")
    assert note(book, hand(), "R02").state == "at the door"
    (rest,) = [each for each in plan_of(book, AUGUST.week).plan.waiting if each.note_id == "R02"]
    assert 0 < rest.field_g < grams(158)
    assert ways(book, hand(), "R02").holds
    with pytest.raises(NotNow, match="no place of that kind"):
        take(book, hand(), "R02", "split")


def test_r19_at_35_kg_gives_racks_back(book: Book):
    thursday = on(20, "08:35")
    before = turns(book, "R19")
    door(book, hand(thursday), "R19", grams(35), at=thursday)
    (place,) = ways(book, hand(thursday), "R19").places
    assert place.kind == "same"
    take(book, hand(thursday), "R19", "same")
    ((_, charge),) = [
        each for each in plan_of(book, AUGUST.week).plan.charges() if each[1].note_id == "R19"
    ]
    assert charge.racks == 14
    assert turns(book, "R19") == before


def test_freed_room_is_offered_in_order_of_turn_and_given_at_one_press(book: Book):
    for gone in ("R08", "R19"):
        version = note(book, hand(), gone).version
        end(book, hand(), gone, version=version, state="let go")
    found = offers(book, hand(), AUGUST.week)
    assert found
    assert [each.turn for each in found] == sorted(each.turn for each in found)
    first = found[0]
    before = turns(book, first.entry.id, "R08", "R19")
    take(book, hand(), first.entry.id, first.place.kind)
    assert note(book, hand(), first.entry.id).state in ("firm", "pencilled")
    assert turns(book, first.entry.id, "R08", "R19") == before
    assert first.entry.id in told(book, first.entry.id)


def test_r09_a_day_late_is_told_what_it_would_have_and_takes_it(book: Book):
    entry = note(book, hand(), "R09")
    later = entry.arrives + timedelta(days=1)
    seen = look_later(book, hand(), "R09", version=entry.version, arrives=later)
    assert [each.kind for each in seen.places] == ["other run", "part"]


def test_r09_takes_the_other_run_and_others_stay(book: Book):
    before, entry = turns(book, "R09"), note(book, hand(), "R09")
    later = entry.arrives + timedelta(days=1)
    kept = comes_later(book, hand(), "R09", version=entry.version, arrives=later, kind="other run")
    assert (kept.arrives, kept.state) == (later, "firm")
    assert kept.latest_start - kept.arrives == entry.latest_start - entry.arrives
    assert turns(book, "R09") == before
    assert "R09 tomato 125 kg: bring Wed 19" in told(book, "R09")


def test_a_little_later_its_firm_turn_holds_and_nothing_is_posted(book: Book):
    entry, before = note(book, hand(), "R09"), plan_of(book, AUGUST.week).number
    later = entry.arrives + timedelta(minutes=15)
    comes_later(book, hand(), "R09", version=entry.version, arrives=later, kind=None)
    assert plan_of(book, AUGUST.week).number == before
    assert note(book, hand(), "R09").state == "firm"


def test_without_a_place_its_turns_end_and_its_grower_hears_why(book: Book):
    entry = note(book, hand(), "R06")
    arrives = on(22, "08:00")
    seen = comes_later(book, hand(), "R06", version=entry.version, arrives=arrives, kind=None)
    assert seen.state == "noted"
    assert "no place for it without moving others" in told(book, "R06")
    assert not [each for each in book.turns.where(note_id="R06") if each.turn.stands]
    assert offers(book, hand(), AUGUST.week) is not None


def test_a_lot_a_little_lighter_stands_in_nobodys_way(book: Book):
    door(book, hand(), "R03", grams(34), at=MONDAY)
    found = ways(book, hand(), "R09")
    assert found.holds
    entry = note(book, hand(), "R09")
    later = entry.arrives + timedelta(days=1)
    comes_later(book, hand(), "R09", version=entry.version, arrives=later, kind="other run")


def test_what_has_started_is_never_moved(book: Book):

    door(book, hand(), "R03", grams(35), at=MONDAY)
    start(book, hand(at("09:56")), Start("D2", at("09:55")))
    with pytest.raises(NotNow, match="never moved"):
        ways(book, hand(at("10:00")), "R03")


def test_it_is_for_the_kitchen(book: Book):
    with pytest.raises(NotAllowed):
        ways(book, doing(replace(GROWER, grower_id="G01")), "R02")
    with pytest.raises(NotAllowed):
        offers(book, doing(GROWER), AUGUST.week)


def test_no_turn_holds_in_a_dryer_that_is_down_and_room_is_not_looked_for(book: Book, plan: Plan):
    down(book, hand(), "D3", stopped=MONDAY, cause="fan motor")
    inside = {each.note_id for run, each in plan.charges() if run.dryer_id == "D3"}
    for note_id in sorted(inside):
        found = ways(book, hand(), note_id)
        assert not found.holds, note_id
    with pytest.raises(PlanBroken, match="no longer holds by itself"):
        offers(book, hand(), AUGUST.week)
    assert "R12" not in inside
    assert ways(book, hand(), "R12").holds


@pytest.mark.parametrize("late", [0, 7])
def test_the_next_turns_in_a_dryer_hold_while_its_run_goes_on(book: Book, plan: Plan, late: int):
    now = at("10:05")
    door(book, hand(), "R03", AUGUST.note("R03").field_g, at=MONDAY)
    began = at("09:55") + timedelta(minutes=late)
    start(book, hand(now), Start("D2", began))
    after = {each.note_id for run, each in plan.charges() if run.dryer_id == "D2"} - {"R03"}
    for note_id in sorted(after):
        assert ways(book, hand(now), note_id).holds, note_id
