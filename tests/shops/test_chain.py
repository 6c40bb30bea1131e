"""Chains of stations: the referee, the dispatcher, the bound, the climb by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.races.invented import FT06, flow_shop, ft06
from scheduler.shops import by_order
from scheduler.shops.bound import soonest_end
from scheduler.shops.by_order import Stages, backwards, climbed, mirrored
from scheduler.shops.chain import Placed, Schedule, Shop, Way, length
from scheduler.shops.dispatch import dispatched
from scheduler.shops.referee import faults
from tests.shops.tiny import every_schedule, tiny_shop

TWO = Shop("two", (1, 2), (((Way(0, 3),), (Way(1, 4),)), ((Way(0, 2),), (Way(1, 5),))))
SOUND: Schedule = (
    (Placed(Way(0, 3), 2), Placed(Way(1, 4), 5)),
    (Placed(Way(0, 2), 0), Placed(Way(1, 5), 2)),
)
seeds = st.integers(min_value=0, max_value=10_000)


def moved(job: int, step: int, **changes: Any) -> Schedule:
    placed = replace(SOUND[job][step], **changes)
    own = (*SOUND[job][:step], placed, *SOUND[job][step + 1 :])
    return (*SOUND[:job], own, *SOUND[job + 1 :])


def test_a_sound_schedule_has_no_fault():
    assert faults(TWO, SOUND) == ()
    assert length(SOUND) == 9


@pytest.mark.parametrize(
    ("schedule", "said"),
    [
        (SOUND[:1], "1 jobs are scheduled, there are 2"),
        ((SOUND[0][:1], SOUND[1]), "job 0 has 2 steps, 1 are scheduled"),
        (moved(0, 0, start=1), "pool 0: 2 of 1 stations are in use at tick 1"),
        (moved(0, 0, start=-1), "job 0, step 0: begins before the beginning"),
        (moved(0, 1, start=4), "job 0, step 1: begins before the step before it ends"),
        (moved(0, 1, way=Way(1, 3)), "job 0, step 1: is not done that way"),
    ],
)
def test_each_fault_is_told(schedule: Schedule, said: str):
    assert said in faults(TWO, schedule)


def test_a_pool_holds_as_many_as_it_has_stations():
    one = replace(TWO, pools=(1, 1))
    assert faults(one, SOUND) == ("pool 1: 2 of 1 stations are in use at tick 5",)


@settings(max_examples=60, deadline=None)
@given(seeds)
def test_no_schedule_is_shorter_than_the_bound_nor_faulty_by_rule(seed: int):
    shop = tiny_shop(seed)
    by_rule = dispatched(shop)
    assert faults(shop, by_rule) == ()
    shortest = min(map(length, every_schedule(shop)))
    assert soonest_end(shop) <= shortest <= length(by_rule) <= shop.latest


def test_the_bound_counts_heads_tails_and_stations():
    jobs = tuple(((Way(0, 1),), (Way(1, 10),), (Way(0, 2),)) for _ in range(4))
    assert soonest_end(Shop("line", (1, 1), jobs)) == 1 + 40 + 2
    assert soonest_end(Shop("line", (1, 2), jobs)) == (2 + 40 + 4) // 2


def test_the_published_shop_is_what_was_published():
    (shop,) = ft06()
    assert (shop.steps, sum(ticks for job in FT06 for _, ticks in job)) == (36, 197)
    assert [sorted(station for station, _ in job) for job in FT06] == [list(range(6))] * 6
    assert not shop.flows


@settings(max_examples=30, deadline=None)
@given(seeds)
def test_orders_are_worked_through_like_the_referee_says(seed: int):
    shop = tiny_shop(seed, flows=True)
    assert shop.flows
    start = dispatched(shop)
    found = climbed(shop, start, seconds=0.02, seed=seed, workers=1)
    assert faults(shop, found) == ()
    assert soonest_end(shop) <= length(found) <= length(start)


def test_two_climb_at_a_time(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(by_order, "CREW_S", 0)
    shop = next(flow_shop())
    start = dispatched(shop)
    found = climbed(shop, start, seconds=0.2, seed=1, workers=2)
    assert faults(shop, found) == ()
    assert soonest_end(shop) <= length(found) < length(start)


@settings(max_examples=30, deadline=None)
@given(seeds)
def test_a_mirrored_schedule_is_one_of_the_shop_run_backwards(seed: int):
    shop = tiny_shop(seed)
    schedule = dispatched(shop)
    back = mirrored(schedule)
    assert faults(backwards(shop), back) == ()
    assert length(back) == length(schedule) - min(
        placed.start for job in schedule for placed in job
    )


def test_side_by_side_is_one_by_one():
    shop = next(flow_shop())
    stages, rng = Stages.of(shop), np.random.default_rng(3)
    rows = np.array([rng.permutation(len(shop.jobs)) for _ in range(7)])
    together = stages.lengths(rows)
    assert together.tolist() == [int(stages.lengths(row[None])[0]) for row in rows]
    assert len(set(together.tolist())) > 1
