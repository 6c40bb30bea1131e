"""A bound from below on the cost of ovens, without the solver."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from scheduler.shops.oven_conflicts import never_in_time
from scheduler.shops.ovens import Job, Ovens


def least_cost(ovens: Ovens) -> int:
    """Ticks and set-ups that each family needs at least, and jobs late for certain."""
    weights, total = ovens.weights, 0
    for family in {job.family for job in ovens.jobs}:
        jobs = [job for job in ovens.jobs if job.family == family]
        where = {oven for job in jobs for oven in job.ovens}
        set_up = min(ovens.least_set_up(ovens.set_up_cost, oven, family) for oven in where)
        total += weights.tick * least_ticks(ovens, jobs)
        total += weights.set_up * set_up * least_batches(ovens, jobs)
    return total + weights.late * sum(never_in_time(ovens, job) for job in ovens.jobs)


def least_ticks(ovens: Ovens, jobs: Sequence[Job]) -> int:
    """Ticks that the batches of these jobs of one family last in sum.

    Jobs of t ticks and more are in batches of t ticks and more: at least least_batches of them.
    Summed over all t, each batch is counted once for every tick that it lasts.
    """
    total, before = 0, 0
    for ticks in sorted({job.shortest for job in jobs}):
        longer = [job for job in jobs if job.shortest >= ticks]
        total += (ticks - before) * least_batches(ovens, longer)
        before = ticks
    return total


def least_batches(ovens: Ovens, jobs: Collection[Job]) -> int:
    """Batches that these jobs of one family need: by size, and by the ticks they bear.

    By size: all of them in the largest oven. By ticks: jobs whose spans of ticks do not meet are
    apart, so that as many batches are needed as spans can be found of which no two meet.
    """
    room = max(ovens.ovens[oven].capacity for job in jobs for oven in job.ovens)
    by_size = -(-sum(job.size for job in jobs) // room)
    apart, end = 0, -1
    for job in sorted(jobs, key=lambda each: each.longest):
        if job.shortest > end:
            apart, end = apart + 1, job.longest
    return max(by_size, apart)
