"""The plain dispatcher: whatever can start first starts, by rule among equals."""

from __future__ import annotations

from collections.abc import Callable
from heapq import heapreplace

from scheduler.shops.chain import Placed, Schedule, Shop, Way, length

Rank = Callable[[int, int], float]  # of a job's step: the lower goes first


def dispatched(shop: Shop) -> Schedule:
    """The best of the schedules by three rules: most work left, most steps left, shortest step."""
    left = [_left(shop, job) for job in range(len(shop.jobs))]
    ranks: tuple[Rank, ...] = (
        lambda job, step: -left[job][step],
        lambda job, step: step - len(shop.jobs[job]),
        lambda job, step: min(way.ticks for way in shop.jobs[job][step]),
    )
    return min((by_rank(shop, rank) for rank in ranks), key=length)


def _left(shop: Shop, job: int) -> list[int]:
    """By step, the ticks of it and of all that follow, at their shortest."""
    left, total = [], 0
    for ways in reversed(shop.jobs[job]):
        total += min(way.ticks for way in ways)
        left.append(total)
    return left[::-1]


def by_rank(shop: Shop, rank: Rank) -> Schedule:
    """Steps one by one: the earliest start, then the rank, then the job's number."""
    lanes = [[0] * count for count in shop.pools]
    done: list[list[Placed]] = [[] for _ in shop.jobs]
    after = {job: _soonest(shop, [], job, lanes) for job, steps in enumerate(shop.jobs) if steps}
    while after:
        job = min(after, key=lambda each: (after[each].start, rank(each, len(done[each])), each))
        placed = after.pop(job)
        heapreplace(lanes[placed.way.pool], placed.end)
        done[job].append(placed)
        if len(done[job]) < len(shop.jobs[job]):
            after[job] = _soonest(shop, done[job], job, lanes)
        for other, planned in after.items():
            if planned.way.pool == placed.way.pool and planned.start < lanes[placed.way.pool][0]:
                after[other] = _soonest(shop, done[other], other, lanes)
    return tuple(tuple(job) for job in done)


def _soonest(shop: Shop, done: list[Placed], job: int, lanes: list[list[int]]) -> Placed:
    """The next step of a job, where it would end first."""
    ready = done[-1].end if done else 0

    def at(way: Way) -> Placed:
        return Placed(way, max(ready, lanes[way.pool][0]))

    ways = shop.jobs[job][len(done)]
    return min(map(at, ways), key=lambda placed: (placed.end, placed.start))
