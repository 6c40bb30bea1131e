"""Suppose over a season: a change that changes nothing saves nothing, by whatever search."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Happened, StartedCharge, StartedRun
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.rules import FULL
from scheduler.replay import laying as laying_module
from scheduler.replay import suppose as suppose_module
from scheduler.replay.changes import (
    BY_KEY,
    CHANGES,
    Change,
)
from scheduler.replay.fair import fair
from scheduler.replay.laying import Effort, lay_out_quickly
from scheduler.replay.suppose import Tries, one_week, suppose
from scheduler.replay.supposed import Trial
from scheduler.season.records import Posted
from scheduler.units import Grams
from tests.season.small import moved, season

TAKES_NOTHING = ("dryer", "dryer and supply", "steamer")
NOTHING = Change("nothing", "Nothing", lambda asked: asked, "all as it is", "do nothing")


def crowded(seed: int) -> Posted:
    """A small kitchen's week with twice the harvest."""
    week = season(seed).weeks[0]
    notes = tuple(replace(each, field_g=Grams(2 * each.field_g)) for each in week.asked.notes)
    asked = replace(week.asked, notes=notes)
    return Posted(asked, lay_out_quickly(asked, Effort(0)))


@settings(max_examples=4, deadline=None)
@given(st.integers(1, 60), st.integers(1, 3))
def test_a_station_more_never_places_less_than_was_posted(week: int, seed: int):
    posted = crowded(week)
    for trial in one_week(posted, TAKES_NOTHING, Effort(10, seed)):
        assert trial.with_g >= posted.plan.worth_g
        assert trial.without_g >= posted.plan.worth_g


@settings(max_examples=6, deadline=None)
@given(st.integers(1, 60), st.integers(1, 3))
def test_a_station_more_never_saves_less_than_none(week: int, seed: int):
    for trial in one_week(crowded(week), TAKES_NOTHING, Effort(10, seed)):
        assert trial.saved_g >= 0


@settings(max_examples=3, deadline=None)
@given(st.integers(1, 60), st.integers(1, 3))
def test_what_growers_gain_is_all_that_is_saved(week: int, seed: int):
    posted = crowded(week)
    growers = {each.id for each in posted.asked.growers}
    for trial in one_week(posted, ("dryer", "order"), Effort(5, seed)):
        assert sum(grams for _, grams in trial.gained) == trial.saved_g
        assert {who for who, _ in trial.gained} <= growers


def test_who_had_nothing_gains_it_all(monkeypatch: pytest.MonkeyPatch):
    """Without the dryer nothing is found; with it, what the whiteboard finds."""
    posted = crowded(9)
    monkeypatch.setattr(suppose_module, "fair", lambda weeks: [each for _, each in weeks])
    monkeypatch.setattr(
        suppose_module, "lay_out_quickly", unlucky(lambda asked: asked == posted.asked)
    )
    (trial,) = one_week(posted, ("dryer",), Effort(0))
    placed: dict[str, int] = {}
    changed = BY_KEY["dryer"].made(posted.asked)
    for _, charge in lay_out_quickly(changed, Effort(0), start=None).charges():
        who = posted.asked.note(charge.note_id).grower_id
        placed[who] = placed.get(who, 0) + charge.prepared_g
    assert dict(trial.gained) == placed


def unlucky(only: Callable[[Asked], bool]) -> Callable[..., Plan]:
    """A search that finds nothing in such weeks, whatever it is given to go on from."""

    def found(asked: Asked, effort: Effort, *, start: Plan | None = None) -> Plan:
        if only(asked):
            return Plan(asked.week, FULL.name, (), ())
        return lay_out_quickly(asked, effort, start=start)

    return found


@pytest.mark.parametrize("key", TAKES_NOTHING)
def test_however_unlucky_the_search_is_with_it(monkeypatch: pytest.MonkeyPatch, key: str):
    posted = crowded(9)
    monkeypatch.setattr(
        suppose_module, "lay_out_quickly", unlucky(lambda asked: asked != posted.asked)
    )
    (trial,) = one_week(posted, (key,), Effort(5))
    assert trial.without_g == trial.with_g > 0


def test_however_lucky_it_is_without_need_of_the_change(monkeypatch: pytest.MonkeyPatch):
    """What it finds with the change, and could have had without, is not saved by the change."""
    posted = crowded(9)
    monkeypatch.setitem(BY_KEY, NOTHING.key, replace(NOTHING, made=with_spare_room))
    monkeypatch.setattr(
        suppose_module, "lay_out_quickly", unlucky(lambda asked: asked == posted.asked)
    )
    (trial,) = one_week(posted, (NOTHING.key,), Effort(5))
    assert trial.without_g == trial.with_g > 0


def with_spare_room(asked: Asked) -> Asked:
    """A freezer more, which no plan uses."""
    like = asked.kitchen.freezers[0]
    more = replace(like, id="F99")
    return replace(asked, kitchen=replace(asked.kitchen, freezers=(*asked.kitchen.freezers, more)))


@settings(max_examples=3, deadline=None)
@given(st.integers(1, 60), st.integers(1, 3))
def test_a_dryer_with_supply_never_saves_less_than_the_dryer(week: int, seed: int):
    """What gives more room has every plan of what gives less; the week without is the same."""
    dryer, both = one_week(crowded(week), ("dryer", "dryer and supply"), Effort(5, seed))
    assert both.without_g == dryer.without_g
    assert both.saved_g >= dryer.saved_g


def test_what_is_found_with_one_change_counts_with_another(monkeypatch: pytest.MonkeyPatch):
    """A search that finds nothing with the dryer and the supply: the plan with the dryer fits."""
    posted = crowded(9)
    both = BY_KEY["dryer and supply"].made(posted.asked)
    monkeypatch.setattr(suppose_module, "lay_out_quickly", unlucky(lambda asked: asked == both))
    dryer, supply = one_week(posted, ("dryer", "dryer and supply"), Effort(5))
    assert supply.saved_g == dryer.saved_g > 0


def test_another_order_is_not_given_the_plan_of_turns(monkeypatch: pytest.MonkeyPatch):
    """Every plan fits both orders: with the better counted for both they could not differ."""
    plain = crowded(9)
    in_turn = replace(plain.asked, notes=plain.asked.notes[::-1])
    posted = replace(plain, asked=in_turn)
    in_order = BY_KEY["order"].made(in_turn)
    assert in_order != in_turn
    monkeypatch.setattr(suppose_module, "lay_out_quickly", unlucky(lambda asked: asked == in_order))
    (trial,) = one_week(posted, ("order",), Effort(5))
    assert trial.with_g == 0 < trial.without_g


def test_a_week_that_has_room_for_all_is_not_laid_out_again(monkeypatch: pytest.MonkeyPatch):
    week = season(3).weeks[0]
    few = replace(week.asked, notes=week.asked.notes[:1])
    posted = Posted(few, lay_out_quickly(few, Effort(20)))
    assert not posted.plan.waiting

    def climbed(*_: object) -> None:
        raise AssertionError("nothing is to be found")

    monkeypatch.setattr(laying_module, "Climber", climbed)
    for trial in one_week(posted, TAKES_NOTHING, Effort(5)):
        assert trial.without_g == trial.with_g == posted.plan.worth_g > 0


def test_what_only_the_change_makes_room_for_is_not_had_without_it():
    posted = crowded(9)
    changed = BY_KEY["dryer"].made(posted.asked)
    found = lay_out_quickly(changed, Effort(5), start=posted.plan)
    assert found.worth_g > posted.plan.worth_g
    assert fair([(posted.asked, posted.plan), (changed, found)]) == (posted.plan, found)


@pytest.mark.parametrize("afresh", [False, True])
def test_what_a_longer_search_finds_is_credited_to_no_change(
    monkeypatch: pytest.MonkeyPatch, afresh: bool
):
    """Of these weeks a further ten steps find more in the kitchen as it is."""
    monkeypatch.setitem(BY_KEY, NOTHING.key, replace(NOTHING, afresh=afresh))
    saved = {
        trial.saved_g
        for week in (9, 15)
        for trial in one_week(crowded(week), (NOTHING.key,), Effort(10))
    }
    assert saved == {0}


def test_the_order_of_call_does_not_begin_from_the_plan_of_turns():
    """Laid out from nothing both ways, so that the posted plan counts for neither."""
    plain = crowded(15)
    better = replace(plain, plan=lay_out_quickly(plain.asked, Effort(20)))
    assert better.plan.worth_g > plain.plan.worth_g
    assert one_week(better, ("order",), Effort(0)) == one_week(plain, ("order",), Effort(0))


def test_a_week_posted_again_is_tried_as_before_it_began():
    """Its notes that were firm, and what had started, are free in a replay: for every change."""
    plain = crowded(9)
    run = plain.plan.runs[0]
    held = tuple(StartedCharge(each.note_id, each.racks) for each in run.charges)
    started = StartedRun(run.dryer_id, run.set_point_c, run.start, run.end, held)
    firm = frozenset(charge.note_id for _, charge in plain.plan.charges())
    again = replace(
        plain.asked,
        promised=Promised(plain.plan, firm),
        happened=Happened(run.start + timedelta(hours=1), (started,)),
    )
    assert one_week(Posted(again, plain.plan), ("dryer",), Effort(5)) == one_week(
        plain, ("dryer",), Effort(5)
    )


def test_a_dryer_more_saves_something_where_dryers_are_short():
    saved = [
        trial.saved_g
        for week in range(1, 5)
        for trial in one_week(crowded(week), ("dryer",), Effort(0))
    ]
    assert sum(saved) > 0


def test_the_answer_is_the_same_over_processes():
    found, seeds = season(3, length=1), (1, 2)
    one = suppose(found, CHANGES[:1], Tries(seeds, 2, 1))
    heard: list[tuple[int, int, tuple[Trial, ...]]] = []
    two = suppose(found, CHANGES[:1], Tries(seeds, 2, 2), told=lambda *each: heard.append(each))
    assert [each.trials for each in one] == [each.trials for each in two]
    assert [each[:2] for each in heard] == [(0, 2), (1, 2), (2, 2)]
    assert set(heard[-1][2]) == set(two[0].trials)


def test_what_is_known_of_before_is_not_tried_again():
    found, tries = season(3, length=2), Tries((1, 2), 2, 1)
    (whole,) = suppose(found, CHANGES[:1], tries)
    heard: list[int] = []
    (rest,) = suppose(
        found, CHANGES[:1], tries, told=lambda n, *_: heard.append(n), known=whole.trials[:3]
    )
    assert rest == whole
    assert heard == [3, 4]
    other = replace(whole.trials[0], change="steamer")  # of another change: not known of this one
    again: list[int] = []
    suppose(found, CHANGES[:1], tries, told=lambda n, *_: again.append(n), known=(other,))
    assert again[0] == 0


def test_who_hears_of_it_may_end_it():
    class Enough(Exception):
        pass

    def told(done: int, *_: object) -> None:
        if done == 1:
            raise Enough

    for workers in (1, 2):
        with pytest.raises(Enough):
            suppose(season(3, length=2), CHANGES[:1], Tries((1, 2), 2, workers), told=told)


def test_a_helper_ends_with_whoever_asked_it():
    """One whose parent is another by now, in the middle of its work."""
    orphan = (
        "from scheduler.replay.suppose import _end_with as e; import time; e(-1); time.sleep(99)"
    )
    done = subprocess.run([sys.executable, "-c", orphan], check=False, timeout=60)
    assert done.returncode == 1


def test_an_evening_shift_when_full_is_the_evening_in_full_weeks_alone():
    """No week is laid out for it again; a week where all had a place saves and costs nothing."""
    found = season(3, length=1)
    full = replace(found.weeks[0], posted=(crowded(9),))
    few = moved(replace(full.asked, notes=full.asked.notes[:1]), 1)
    room = replace(full, posted=(Posted(few, lay_out_quickly(few, Effort(5))),))
    assert full.posted[0].plan.waiting
    assert not room.posted[0].plan.waiting
    evening, when_full = BY_KEY["evening"], BY_KEY["evening when full"]
    tries = Tries((1, 2), 2, 1)
    both = replace(found, weeks=(full, room))
    always, then = suppose(both, (evening, when_full), tries)
    assert then.saved_g == always.saved_g
    assert {each.change for each in then.trials} == {"evening"}
    assert (then.weeks, then.cost * 2) == (1, always.cost)
    (alone,) = suppose(both, (when_full,), tries)
    assert alone == then
    (never,) = suppose(replace(found, weeks=(room,)), (when_full,), tries)
    assert (never.trials, never.cost, never.saved_g, never.cost_per_kg) == ((), 0, 0, None)
