"""A bound from below on how soon all jobs of a chain of stations can be done."""

from __future__ import annotations

from scheduler.shops.chain import Shop


def soonest_end(shop: Shop) -> int:
    """No schedule ends before the longest job, nor before a pool has done what is its alone.

    Of a pool with m stations: each station does nothing before the first of its steps can begin,
    and nothing after its last while the rest of that job goes on. These m first steps are different
    steps, and so are the m last ones, so that the m smallest heads and tails are idle for certain:
    m x end >= work + heads + tails. Where fewer than m steps are there, the longest job says more.
    """
    ends = [sum(min(way.ticks for way in ways) for ways in job) for job in shop.jobs]
    return max([0, *ends, *(_of_pool(shop, pool) for pool in range(len(shop.pools)))])


def _of_pool(shop: Shop, pool: int) -> int:
    heads, tails, work = [], [], 0
    for job in shop.jobs:
        shortest = [min(way.ticks for way in ways) for ways in job]
        for step, ways in enumerate(job):
            if all(way.pool == pool for way in ways):
                heads.append(sum(shortest[:step]))
                tails.append(sum(shortest[step + 1 :]))
                work += shortest[step]
    stations = shop.pools[pool]
    if len(heads) < stations:
        return 0
    idle = sum(sorted(heads)[:stations]) + sum(sorted(tails)[:stations])
    return -(-(work + idle) // stations)
