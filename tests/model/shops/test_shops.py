"""Shops and ovens stated to the solver, against every way to do them and against the referees."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations, product
from threading import Timer
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from scheduler.model.shops import chains, large, oven_search, oven_slots
from scheduler.model.shops.oven_in_time import add_conflicts
from scheduler.races.invented import flexible, flow_shop, ft06, ovens_by_seed
from scheduler.shops import oven_referee, referee
from scheduler.shops.chain import Schedule, Shop, length
from scheduler.shops.dispatch import dispatched
from scheduler.shops.oven_climb import climbed
from scheduler.shops.oven_conflicts import conflicts
from scheduler.shops.oven_dispatch import dispatched as dispatched_ovens
from scheduler.shops.ovens import Batch, Job, Loads, Oven, Ovens, Weights, cost
from tests.shops.tiny import dead_end, every_loading, every_schedule, tiny_ovens, tiny_shop

seeds = st.integers(min_value=0, max_value=10_000)


def solver(*, fixed: bool = False) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.fix_variables_to_their_hinted_value = fixed
    return solver


@settings(max_examples=40, deadline=None)
@given(seeds)
def test_the_whole_shop_is_solved_to_the_shortest(seed: int):
    shop = tiny_shop(seed)
    build, one = chains.whole_shop(shop, shop.latest), solver()
    assert one.solve(build.model) == cp_model.OPTIMAL
    found = chains.schedule_of(build, one)
    assert referee.faults(shop, found) == ()
    assert length(found) == min(map(length, every_schedule(shop)))


def hinted(shop: Shop, schedule: Schedule, free: set[chains.Step]) -> int:
    every = {(j, s) for j, steps in enumerate(shop.jobs) for s in range(len(steps))}
    build = chains.shop_beside(shop, length(schedule), schedule, every - free)
    chains.hint(build, schedule)
    one = solver(fixed=True)
    assert one.solve(build.model) == cp_model.OPTIMAL, "the hint is not a whole solution"
    assert len(build.model.proto.solution_hint.vars) == len(
        [v for v in build.model.proto.variables if len(set(v.domain)) > 1]
    )
    return int(one.objective_value)


@settings(max_examples=20, deadline=None)
@given(seeds)
def test_hints_are_whole_whatever_is_free(seed: int):
    for shop in (*flexible(), *flow_shop()):
        schedule = dispatched(shop)
        free = {(seed % len(shop.jobs), 1), ((seed // 7) % len(shop.jobs), 2)}
        assert hinted(shop, schedule, free) == length(schedule)


@settings(max_examples=20, deadline=None)
@given(seeds)
def test_what_is_kept_keeps_its_way_and_what_is_found_stands(seed: int):
    shop = next(flexible())
    schedule = dispatched(shop)
    kept = {(j, s) for j in range(10) for s in range(5) if (j * 5 + s + seed) % 4}
    build, one = chains.shop_beside(shop, length(schedule), schedule, kept), solver()
    one.parameters.max_deterministic_time = 0.5
    assert one.solve(build.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    found = chains.schedule_of(build, one)
    assert referee.faults(shop, found) == ()
    assert all(found[j][s].way == schedule[j][s].way for j, s in kept)


def test_the_published_shop_is_proven():
    (shop,) = ft06()
    found = large.searched(shop, seconds=20, workers=1, seed=1)
    assert (found.length, found.bound, found.proven) == (55, 55, True)
    assert referee.faults(shop, found.schedule) == ()
    peer = large.in_one_model(shop, seconds=20, workers=1, seed=1)
    assert peer is not None
    assert (peer.length, peer.bound) == (55, 55)


@pytest.mark.parametrize("shop", [*flexible(), *flow_shop()], ids=lambda shop: shop.name)
def test_the_search_is_never_longer_than_the_dispatcher_nor_shorter_than_its_bound(shop: Shop):
    found = large.searched(shop, seconds=1.5, workers=1, seed=1)
    assert referee.faults(shop, found.schedule) == ()
    assert found.bound <= found.length <= length(dispatched(shop))
    assert [told for _, told in found.heard] == sorted(
        {told for _, told in found.heard}, reverse=True
    )


@pytest.mark.parametrize(
    ("run", "instance"),
    [
        (large.in_one_model, next(flow_shop())),
        (large.searched, next(flow_shop())),
        (oven_search.in_one_model, ovens_by_seed(5, jobs=40, ovens=3, families=3)),
    ],
)
def test_ctrl_c_is_no_end_of_time(
    run: Callable[..., Any], instance: Any, monkeypatch: pytest.MonkeyPatch
):
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a solve that caught it took it away
    solve = cp_model.CpSolver.solve

    def pressed(self: cp_model.CpSolver, model: cp_model.CpModel) -> Any:
        monkeypatch.undo()  # pressed once
        Timer(0.5, os.kill, (os.getpid(), signal.SIGINT)).start()
        return solve(self, model)

    monkeypatch.setattr(cp_model.CpSolver, "solve", pressed)
    with pytest.raises(KeyboardInterrupt):
        run(instance, seconds=5, workers=1, seed=1)


def whole(ovens: Ovens) -> oven_slots.OvenBuild:
    count = len(ovens.jobs)
    gaps = [
        oven_slots.Gap(index, 0, oven.family, ovens.horizon, None, count)
        for index, oven in enumerate(ovens.ovens)
    ]
    return oven_slots.oven_model(ovens, gaps, range(count))


@settings(max_examples=25, deadline=None)
@given(seeds)
def test_all_ovens_are_solved_to_the_cheapest(seed: int):
    ovens = tiny_ovens(seed)
    build, one = whole(ovens), solver()
    add_conflicts(build)
    assert one.solve(build.model) == cp_model.OPTIMAL
    found = oven_slots.loads_of(build, one)
    assert oven_referee.faults(ovens, found) == ()
    least = min(cost(ovens, loads) for loads in every_loading(ovens))
    assert oven_referee.judged_cost(ovens, found) == int(one.objective_value) == least


@settings(max_examples=25, deadline=None)
@given(seeds)
def test_the_hint_of_all_ovens_is_whole(seed: int):
    ovens = ovens_by_seed(seed, jobs=10)
    loads = dispatched_ovens(ovens)
    build = whole(ovens)
    add_conflicts(build)
    oven_slots.hint(build, loads)
    one = solver(fixed=True)
    assert one.solve(build.model) == cp_model.OPTIMAL, "the hint is not a whole solution"
    assert int(one.objective_value) == cost(ovens, loads)


@settings(max_examples=10, deadline=None)
@given(seeds)
def test_a_gap_filled_anew_fits_between_what_is_kept(seed: int):
    ovens = ovens_by_seed(seed, jobs=14)
    loads = climbed(ovens, dispatched_ovens(ovens), seconds=0.05, seed=seed, workers=1)
    freed = {batch for batch in loads if (batch.start + seed) % 3}
    rest = tuple(batch for batch in loads if batch not in freed)
    free = sorted(job for batch in freed for job in batch.jobs)
    build = oven_slots.oven_model(ovens, list(oven_search.gaps(ovens, loads, freed)), free)
    oven_slots.hint(build, sorted(freed, key=lambda batch: batch.start))
    check = solver(fixed=True)
    assert check.solve(build.model) == cp_model.OPTIMAL, "the hint is not a whole solution"
    one = solver()
    one.parameters.max_deterministic_time = 0.5
    assert one.solve(build.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    found: Loads = (*rest, *oven_slots.loads_of(build, one))
    assert oven_referee.faults(ovens, found) == ()
    assert cost(ovens, found) <= cost(ovens, loads)


@settings(max_examples=40, deadline=None)
@given(seeds)
def test_conflicting_jobs_are_never_both_in_time(seed: int):
    ovens = tiny_ovens(seed)
    apart = [set(conflicts(ovens, index)) for index in range(len(ovens.ovens))]
    for loads in every_loading(ovens):
        for index, pairs in enumerate(apart):
            assert not pairs & set(combinations(_in_time(ovens, loads, index), 2))


def _in_time(ovens: Ovens, loads: tuple[Batch, ...], index: int) -> list[int]:
    return sorted(
        job
        for batch in loads
        for job in batch.jobs
        if batch.oven == index and batch.end <= ovens.jobs[job].latest
    )


def test_there_are_conflicts_to_be_found():
    found = [any(conflicts(tiny_ovens(seed), index)) for seed, index in product(range(20), (0, 1))]
    assert any(found)
    assert not all(found)


@pytest.mark.parametrize("seed", range(2))
def test_the_search_on_ovens_proves_what_brute_force_finds(seed: int):
    ovens = tiny_ovens(seed)
    found = oven_search.filled(ovens, seconds=6, workers=1, seed=1)
    assert found is not None
    least = min(cost(ovens, loads) for loads in every_loading(ovens))
    assert (found.cost, found.proven, oven_referee.faults(ovens, found.loads)) == (least, True, ())


def test_the_bound_holds_for_more_batches_than_there_are_now(monkeypatch: pytest.MonkeyPatch):
    jobs = tuple(Job((0,), 0, 1, 10 * n, 10 * n + 10, 2, 2) for n in range(8))
    none = ((0,), (0,))
    ovens = Ovens("apart", (Oven(8, ((0, 200),), 0),), jobs, none, none, Weights(4, 600, 1, 1000))
    together = (Batch(0, 70, 2, tuple(range(8))),)
    monkeypatch.setattr(oven_search, "dispatched", lambda _: together)
    monkeypatch.setattr(oven_search, "climbed", lambda *_, **__: together)
    monkeypatch.setattr(oven_search, "WHOLE_SHARE", 1)
    found = oven_search.filled(ovens, seconds=20, workers=1, seed=1)
    assert found is not None
    assert (found.cost, found.bound) == (8 * 2 * 4, 8 * 2 * 4)


def test_the_search_goes_on_from_the_model_where_the_rule_finds_no_room():
    found = oven_search.filled(dead_end(), seconds=6, workers=1, seed=1)
    assert found is not None
    assert oven_referee.faults(dead_end(), found.loads) == ()
    assert (found.cost, found.proven) == (4 * 40 + 600, True)
    full = replace(dead_end(), ovens=(Oven(10, ((0, 39),), 0),))
    assert oven_search.filled(full, seconds=6, workers=1, seed=1) is None


def test_the_search_on_many_ovens_is_never_dearer_than_the_dispatcher():
    ovens = ovens_by_seed(5, jobs=80, ovens=3, families=3)
    found = oven_search.filled(ovens, seconds=3, workers=1, seed=1)
    assert found is not None
    assert oven_referee.faults(ovens, found.loads) == ()
    assert found.bound <= found.cost < cost(ovens, dispatched_ovens(ovens))
    assert found.cost == oven_referee.judged_cost(ovens, found.loads)
