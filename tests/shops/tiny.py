"""Tiny shops and ovens by seed, and every way to do them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations, product
from random import Random

from scheduler.races.invented import ovens_by_seed
from scheduler.shops.chain import Placed, Schedule, Shop, Way
from scheduler.shops.ovens import Batch, Job, Loads, Oven, Ovens, Weights


def tiny_shop(seed: int, *, flows: bool = False) -> Shop:
    """Two or three jobs of two steps, two pools of one or two stations."""
    rng = Random(seed)
    pools = tuple(rng.randint(1, 2) for _ in range(2))

    def ways(step: int) -> tuple[Way, ...]:
        if flows:
            return (Way(step, rng.randint(1, 9)),)
        return tuple(
            Way(pool, rng.randint(0, 9)) for pool in rng.sample(range(2), rng.randint(1, 2))
        )

    jobs = tuple((ways(0), ways(1)) for _ in range(rng.randint(2, 3) + flows))
    return Shop(f"tiny-{seed}", pools, jobs)


def every_schedule(shop: Shop) -> Iterator[Schedule]:
    """Every order of steps, each as early as the ones before it allow: one of them is shortest."""
    steps = [job for job, own in enumerate(shop.jobs) for _ in own]
    chosen = product(*(ways for job in shop.jobs for ways in job))
    orders = set(permutations(steps))
    for ways in chosen:
        taken = iter(ways)
        by_step = {(j, s): next(taken) for j, job in enumerate(shop.jobs) for s in range(len(job))}
        for order in orders:
            yield _placed(shop, order, by_step)


def _placed(shop: Shop, order: tuple[int, ...], ways: dict[tuple[int, int], Way]) -> Schedule:
    free = [[0] * stations for stations in shop.pools]
    done: list[list[Placed]] = [[] for _ in shop.jobs]
    for job in order:
        way = ways[job, len(done[job])]
        station = min(range(len(free[way.pool])), key=free[way.pool].__getitem__)
        ready = done[job][-1].end if done[job] else 0
        placed = Placed(way, max(ready, free[way.pool][station]))
        free[way.pool][station] = placed.end
        done[job].append(placed)
    return tuple(tuple(job) for job in done)


def tiny_ovens(seed: int) -> Ovens:
    return ovens_by_seed(seed, jobs=4)


def dead_end() -> Ovens:
    """An oven that has just room enough, but none for a set-up after the job that is due first."""
    same = Job((0,), family=0, size=10, earliest=0, latest=40, shortest=10, longest=10)
    return Ovens(
        "dead end",
        (Oven(10, ((0, 40),), 0),),
        (same, same, same, replace(same, family=1, latest=35)),
        set_up_ticks=((0, 0), (25, 0), (0, 0)),
        set_up_cost=((0, 0),) * 3,
        weights=Weights(tick=4, late=600, set_up=1, scale=1000),
    )


def every_loading(ovens: Ovens) -> Iterator[Loads]:
    """Every way to share out the jobs to batches in an order in the ovens, each at its earliest;
    those that do not fit are left out."""
    jobs = tuple(range(len(ovens.jobs)))
    for groups in _groupings(jobs):
        for order in permutations(groups):
            for where in product(range(len(ovens.ovens)), repeat=len(order)):
                loads = _loaded(ovens, list(zip(where, order, strict=True)))
                if loads is not None:
                    yield loads


def _groupings(jobs: tuple[int, ...]) -> Iterator[list[tuple[int, ...]]]:
    if not jobs:
        yield []
        return
    for rest in _groupings(jobs[1:]):
        yield [(jobs[0],), *rest]
        for place, group in enumerate(rest):
            yield [*rest[:place], (jobs[0], *group), *rest[place + 1 :]]


def _loaded(ovens: Ovens, placed: list[tuple[int, tuple[int, ...]]]) -> Loads | None:
    found: list[Batch] = []
    free = {index: (0, oven.family) for index, oven in enumerate(ovens.ovens)}
    for index, group in placed:
        jobs, (since, family) = [ovens.jobs[job] for job in group], free[index]
        ticks, now = max(job.shortest for job in jobs), jobs[0].family
        set_up = ovens.set_up_ticks[family][now]
        ready = max(job.earliest for job in jobs)
        starts = (
            max(ready, since + set_up, opens + set_up)
            for opens, shuts in ovens.ovens[index].windows
            if max(ready, since + set_up, opens + set_up) + ticks <= shuts
        )
        start = next(starts, None)
        fits = sum(job.size for job in jobs) <= ovens.ovens[index].capacity
        alike = all(job.family == now and index in job.ovens for job in jobs)
        if start is None or not fits or not alike or ticks > min(job.longest for job in jobs):
            return None
        found.append(Batch(index, start, ticks, group))
        free[index] = start + ticks, now
    return tuple(found)
