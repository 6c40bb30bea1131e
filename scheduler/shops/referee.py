"""The referee of schedules for chains of stations: sharing nothing with what makes them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from scheduler.shops.chain import Placed, Schedule, Shop


def faults(shop: Shop, schedule: Schedule) -> tuple[str, ...]:
    """What is wrong with a schedule, each in a sentence; empty where it stands."""
    if len(schedule) != len(shop.jobs):
        return (f"{len(schedule)} jobs are scheduled, there are {len(shop.jobs)}",)
    return (*_of_jobs(shop, schedule), *_of_pools(shop, schedule))


def _of_jobs(shop: Shop, schedule: Schedule) -> Iterator[str]:
    for job, (steps, placed) in enumerate(zip(shop.jobs, schedule, strict=True)):
        if len(placed) != len(steps):
            yield f"job {job} has {len(steps)} steps, {len(placed)} are scheduled"
            continue
        for step, (ways, each) in enumerate(zip(steps, placed, strict=True)):
            if each.way not in ways:
                yield f"job {job}, step {step}: is not done that way"
            if each.start < 0:
                yield f"job {job}, step {step}: begins before the beginning"
        for step, (before, after) in enumerate(pairwise(placed)):
            if after.start < before.start + before.way.ticks:
                yield f"job {job}, step {step + 1}: begins before the step before it ends"


def _of_pools(shop: Shop, schedule: Schedule) -> Iterator[str]:
    for pool, stations in enumerate(shop.pools):
        inside = [each for job in schedule for each in job if each.way.pool == pool]
        for tick, used in _use(inside):
            if used > stations:
                yield f"pool {pool}: {used} of {stations} stations are in use at tick {tick}"
                break


def _use(inside: list[Placed]) -> Iterator[tuple[int, int]]:
    """Stations in use from each tick on at which that changes; ends come before starts."""
    changes = [(each.start, 1) for each in inside if each.way.ticks]
    changes += [(each.start + each.way.ticks, -1) for each in inside if each.way.ticks]
    used = 0
    for tick, change in sorted(changes):
        used += change
        yield tick, used
