"""Chains of stations for CP-SAT: steps as intervals, pools as rows, what is kept as an order."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from heapq import heapify, heapreplace
from itertools import pairwise

from ortools.sat.python import cp_model

from scheduler.model.parts import Expression, Literal
from scheduler.shops.chain import Placed, Schedule, Shop, Way

Step = tuple[int, int]  # job, step


@dataclass(slots=True)
class ShopBuild:
    """A model under construction. ways: by step, its ways with the literal of each."""

    shop: Shop
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    starts: dict[Step, Literal] = field(default_factory=dict)
    ends: dict[Step, Expression] = field(default_factory=dict)
    ways: dict[Step, list[tuple[Way, Literal | None]]] = field(default_factory=dict)
    inside: dict[int, list[tuple[Step, cp_model.IntervalVar]]] = field(default_factory=dict)
    end: Literal = field(init=False)


def whole_shop(shop: Shop, horizon: int) -> ShopBuild:
    """All steps free, done by the horizon; the end of the last is the least."""
    return shop_beside(shop, horizon, (), frozenset())


def shop_beside(shop: Shop, horizon: int, schedule: Schedule, kept: Collection[Step]) -> ShopBuild:
    """Like whole_shop, but what is kept keeps its way, and its order among what is kept.

    The kept steps of a pool stand in lanes, one for each station, as the schedule has them; each
    waits for the one before it in its lane. Any times that obey that are again in the pool.
    """
    build = ShopBuild(shop)
    build.end = build.model.new_int_var(0, horizon, "end")
    for job, steps in enumerate(shop.jobs):
        for step, ways in enumerate(steps):
            at = job, step
            now = (schedule[job][step].way,) if at in kept else ways
            _step(build, at, now, horizon)
        for step in range(1, len(steps)):
            build.model.add(build.starts[job, step] >= build.ends[job, step - 1])
        if steps:
            build.model.add(build.end >= build.ends[job, len(steps) - 1])
    for pool in build.inside:
        _pool(build, pool, schedule, kept)
    build.model.minimize(build.end)
    return build


def _step(build: ShopBuild, at: Step, ways: tuple[Way, ...], horizon: int) -> None:
    model, name = build.model, f"{at}"
    start = build.starts[at] = model.new_int_var(0, horizon, name)
    if len(ways) == 1:
        (way,) = ways
        build.ways[at] = [(way, None)]
        build.ends[at] = start + way.ticks
        interval = model.new_fixed_size_interval_var(start, way.ticks, name)
        build.inside.setdefault(way.pool, []).append((at, interval))
        return
    literals = [model.new_bool_var(f"{name} {way.pool}") for way in ways]
    model.add_exactly_one(literals)
    build.ways[at] = list(zip(ways, literals, strict=True))
    build.ends[at] = start + cp_model.LinearExpr.weighted_sum(literals, [w.ticks for w in ways])
    for way, literal in zip(ways, literals, strict=True):
        interval = model.new_optional_fixed_size_interval_var(start, way.ticks, literal, name)
        build.inside.setdefault(way.pool, []).append((at, interval))


def _pool(build: ShopBuild, pool: int, schedule: Schedule, kept: Collection[Step]) -> None:
    model, stations, inside = build.model, build.shop.pools[pool], build.inside[pool]
    stands = [at for at, _ in inside if at in kept]
    for before, after in _lanes(schedule, stands, stations):
        model.add(build.starts[after] >= build.ends[before])
    if len(stands) == len(inside):
        return
    intervals = [interval for _, interval in inside]
    if stations == 1:
        model.add_no_overlap(intervals)
    else:
        model.add_cumulative(intervals, [1] * len(intervals), stations)


def _lanes(schedule: Schedule, steps: list[Step], stations: int) -> Iterator[tuple[Step, Step]]:
    """Neighbours on a station, the steps dealt out to it in order of start."""
    lanes: list[list[Step]] = [[] for _ in range(stations)]
    free = [(0, lane) for lane in range(stations)]
    heapify(free)
    for job, step in sorted(steps, key=lambda at: _span(schedule, at)):
        lane = free[0][1]
        lanes[lane].append((job, step))
        heapreplace(free, (schedule[job][step].end, lane))
    return (pair for lane in lanes for pair in pairwise(lane))


def _span(schedule: Schedule, at: Step) -> tuple[int, int]:
    placed = schedule[at[0]][at[1]]
    return placed.start, placed.end


def hint(build: ShopBuild, schedule: Schedule) -> None:
    """Every variable at its value in the schedule."""
    model = build.model
    model.add_hint(build.end, max(p.end for job in schedule for p in job))
    for (job, step), start in build.starts.items():
        placed = schedule[job][step]
        model.add_hint(start, placed.start)
        for way, literal in build.ways[job, step]:
            if literal is not None:
                model.add_hint(literal, way == placed.way)


def schedule_of(build: ShopBuild, solver: cp_model.CpSolver) -> Schedule:
    """What the solver found."""
    return tuple(
        tuple(_placed(build, (job, step), solver) for step in range(len(steps)))
        for job, steps in enumerate(build.shop.jobs)
    )


def _placed(build: ShopBuild, at: Step, solver: cp_model.CpSolver) -> Placed:
    way = next(
        way for way, literal in build.ways[at] if literal is None or solver.boolean_value(literal)
    )
    return Placed(way, int(solver.value(build.starts[at])))
