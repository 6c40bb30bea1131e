"""Ovens: the referee, the dispatcher, the bound, the climb by hand, all against brute force."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.errors import BrokenPromise
from scheduler.races.invented import ovens_by_seed
from scheduler.shops import oven_climb
from scheduler.shops.oven_bound import least_batches, least_cost, least_ticks
from scheduler.shops.oven_climb import climbed
from scheduler.shops.oven_conflicts import never_in_time
from scheduler.shops.oven_dispatch import dispatched
from scheduler.shops.oven_lines import NEVER, Group, Line
from scheduler.shops.oven_referee import faults, judged_cost
from scheduler.shops.ovens import Batch, Job, Loads, Oven, Ovens, Weights, cost
from tests.shops.tiny import every_loading, tiny_ovens

seeds = st.integers(min_value=0, max_value=10_000)


def job(**changes: Any) -> Job:
    plain = Job((0,), family=0, size=4, earliest=0, latest=50, shortest=10, longest=20)
    return replace(plain, **changes)


TWO = Ovens(
    "two",
    (Oven(10, ((0, 40), (60, 100)), 0), Oven(10, ((0, 100),), 1)),
    (job(), job(ovens=(0, 1), shortest=12), job(family=1, ovens=(0, 1), latest=30)),
    set_up_ticks=((0, 5), (3, 0), (0, 0)),
    set_up_cost=((1, 2), (3, 4), (0, 0)),
    weights=Weights(tick=2, late=100, set_up=5, scale=1000),
)
SOUND: Loads = (Batch(0, 0, 12, (0, 1)), Batch(0, 17, 10, (2,)))


def test_a_sound_loading_and_its_cost():
    assert faults(TWO, SOUND) == ()
    assert cost(TWO, SOUND) == judged_cost(TWO, SOUND) == 2 * 22 + 5 * (1 + 2)
    late = (SOUND[0], replace(SOUND[1], start=25))
    assert cost(TWO, late) == judged_cost(TWO, late) == 2 * 22 + 5 * 3 + 100


@pytest.mark.parametrize(
    ("loads", "said"),
    [
        (SOUND[:1], "job 2 is in 0 batches"),
        ((*SOUND, Batch(1, 50, 12, (1,))), "job 1 is in 2 batches"),
        ((Batch(0, 0, 12, (0, 1, 2)),), "the batch at 0 in oven 0 mixes families"),
        ((Batch(0, 0, 12, (0, 1, 2)),), "the batch at 0 in oven 0 is larger than the oven"),
        ((Batch(1, 0, 12, (0,)),), "the batch at 0 in oven 1: job 0 may not be there"),
        ((Batch(0, 0, 11, (0, 1)),), "the batch at 0 in oven 0: job 1 does not bear 11 ticks"),
        ((Batch(0, 0, 21, (0, 1)),), "the batch at 0 in oven 0: job 0 does not bear 21 ticks"),
        ((Batch(0, 30, 12, (0, 1)),), "the batch at 30 in oven 0 leaves the oven's windows"),
        ((Batch(0, 62, 10, (2,)),), "the batch at 62 in oven 0 leaves the oven's windows"),
        (
            (SOUND[0], replace(SOUND[1], start=16)),
            "the batch at 16 in oven 0 begins before the oven is set up",
        ),
        ((Batch(0, 0, 12, ()),), "the batch at 0 in oven 0 is empty"),
    ],
)
def test_each_fault_is_told(loads: Loads, said: str):
    assert said in faults(TWO, loads)


def test_a_job_that_comes_later_is_not_there_yet():
    later = replace(TWO, jobs=(job(earliest=1), *TWO.jobs[1:]))
    assert faults(later, SOUND) == ("the batch at 0 in oven 0: job 0 is not there yet",)


@settings(max_examples=20, deadline=None)
@given(seeds)
def test_nothing_is_cheaper_than_the_bound_nor_faulty_by_rule(seed: int):
    ovens = tiny_ovens(seed)
    by_rule = dispatched(ovens)
    assert faults(ovens, by_rule) == ()
    every = list(every_loading(ovens))
    assert all(faults(ovens, loads) == () for loads in every[:50])
    least = min(cost(ovens, loads) for loads in every)
    assert least_cost(ovens) <= least <= cost(ovens, by_rule)
    found = climbed(ovens, by_rule, seconds=0.1, seed=seed, workers=1)
    assert faults(ovens, found) == ()
    assert least <= cost(ovens, found) <= cost(ovens, by_rule)


def test_two_climb_at_a_time(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(oven_climb, "CREW_S", 0)
    ovens = ovens_by_seed(3, jobs=30)
    by_rule = dispatched(ovens)
    found = climbed(ovens, by_rule, seconds=0.2, seed=1, workers=2)
    assert faults(ovens, found) == ()
    assert cost(ovens, found) < cost(ovens, by_rule)


def tight(last: int) -> tuple[Ovens, Loads]:
    """An oven that is full from its first tick to its last, and how: the last job's family asks for
    a set-up before any other, for which there is no time."""
    same = job(size=10, shortest=10, longest=10, latest=last)
    jobs = (*[same] * (last // 10 - 1), replace(same, family=1))
    ovens = replace(
        TWO,
        ovens=(Oven(10, ((0, last),), 0),),
        jobs=jobs,
        set_up_ticks=((0, 0), (25, 0), (0, 0)),
        set_up_cost=((0, 0),) * 3,
    )
    return ovens, tuple(Batch(0, 10 * each, 10, (each,)) for each in range(len(jobs)))


@pytest.mark.parametrize("seed", range(3))
def test_a_job_that_fits_nowhere_goes_back_where_it_was(seed: int):
    ovens, loads = tight(80)
    assert faults(ovens, loads) == ()
    found = climbed(ovens, loads, seconds=0.1, seed=seed, workers=1)
    assert faults(ovens, found) == ()
    assert cost(ovens, found) == cost(ovens, loads)


@pytest.mark.parametrize("nought", ["tick", "late", "set_up"])
def test_a_weight_may_be_nought(nought: str):
    ovens = ovens_by_seed(3, jobs=12)
    ovens = replace(ovens, weights=replace(ovens.weights, **{nought: 0}))
    by_rule = dispatched(ovens)
    found = climbed(ovens, by_rule, seconds=0.1, seed=1, workers=1)
    assert faults(ovens, found) == ()
    assert cost(ovens, found) <= cost(ovens, by_rule)


@settings(max_examples=40, deadline=None)
@given(seeds)
def test_a_line_knows_what_a_change_would_cost(seed: int):
    ovens = ovens_by_seed(seed, jobs=9, ovens=1)
    loads = dispatched(ovens)
    groups = [Group.of(ovens, batch.jobs) for batch in loads]
    line = Line(ovens, 0, groups[1:])
    for place in range(len(groups)):
        own = [*groups[1:][:place], groups[0], *groups[1:][place:]]
        told, whole = line.with_instead(place, groups[0], place), Line(ovens, 0, own)
        assert told == whole.total
        if told < NEVER:
            assert whole.total == cost(ovens, tuple(whole.batches()))


def test_least_ticks_counts_each_batch_for_as_long_as_it_lasts():
    jobs = [job(size=6, shortest=10), job(size=6, shortest=4), job(size=3, shortest=2)]
    assert least_batches(TWO, jobs) == 2  # 15 in ovens of 10
    assert least_ticks(TWO, jobs) == 2 * 2 + 2 * 2 + 6 * 1  # to 2, to 4, to 10
    apart = [job(shortest=1, longest=2), job(shortest=3, longest=4), job(shortest=2, longest=3)]
    assert least_batches(TWO, apart) == 2


def test_what_cannot_be_in_time():
    assert never_in_time(TWO, job(earliest=45, latest=69))
    assert not never_in_time(TWO, job(earliest=45, latest=70))


def test_ovens_that_never_open_have_no_horizon():
    assert replace(TWO, ovens=(Oven(10, (), 0),)).horizon == 0


def test_no_room_is_said():
    with pytest.raises(BrokenPromise, match="1 jobs found no room"):
        dispatched(replace(TWO, jobs=(job(shortest=41, longest=50),)))
