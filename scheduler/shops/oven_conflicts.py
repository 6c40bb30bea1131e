"""Jobs that cannot both be in time in an oven, told pair by pair without the solver."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from scheduler.shops.ovens import Job, Oven, Ovens


def in_time(ovens: Ovens, index: int, job: Job, since: int = 0) -> int | None:
    """When a batch of that job alone, begun at since or later, ends at the earliest in the oven;
    None where it is late then, or may not be there. Its set-up is the least before its family."""
    if index not in job.ovens:
        return None
    set_up = ovens.least_set_up(ovens.set_up_ticks, index, job.family)
    return _end(ovens.ovens[index], job, since + set_up, set_up)


def never_in_time(ovens: Ovens, job: Job) -> bool:
    """Whether the job is late in whatever oven and batch it is."""
    return all(in_time(ovens, index, job) is None for index in job.ovens)


def _end(oven: Oven, job: Job, since: int, set_up: int) -> int | None:
    for opens, shuts in oven.windows:
        end = max(job.earliest, since, opens + set_up) + job.shortest
        if end <= shuts:
            return end if end <= job.latest else None
    return None


def conflicts(ovens: Ovens, index: int) -> Iterator[tuple[int, int]]:
    """Pairs of jobs each of which alone can be in time in the oven, but not both.

    Both in time share a batch, or one of the batches comes first: it ends no earlier than alone,
    and whatever lies between, the other one's set-up comes after that.
    """
    alone = [n for n, job in enumerate(ovens.jobs) if in_time(ovens, index, job) is not None]
    for one, other in combinations(alone, 2):
        first, second = ovens.jobs[one], ovens.jobs[other]
        if not (
            _together(ovens, index, first, second)
            or _after(ovens, index, first, second)
            or _after(ovens, index, second, first)
        ):
            yield one, other


def _after(ovens: Ovens, index: int, first: Job, second: Job) -> bool:
    end = in_time(ovens, index, first)
    return end is not None and in_time(ovens, index, second, end) is not None


def _together(ovens: Ovens, index: int, one: Job, other: Job) -> bool:
    oven = ovens.ovens[index]
    if one.family != other.family or one.size + other.size > oven.capacity:
        return False
    both = Job(
        ovens=(index,),
        family=one.family,
        size=one.size + other.size,
        earliest=max(one.earliest, other.earliest),
        latest=min(one.latest, other.latest),
        shortest=max(one.shortest, other.shortest),
        longest=min(one.longest, other.longest),
    )
    return both.shortest <= both.longest and in_time(ovens, index, both) is not None
