"""Chains of stations: jobs whose steps follow each other, each step in one of several pools."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Way:
    """One way to do a step: in which pool of like stations, and for how many ticks."""

    pool: int
    ticks: int


Steps = tuple[tuple[Way, ...], ...]


@dataclass(frozen=True, slots=True)
class Shop:
    """pools: like stations in each pool. jobs[j][s]: the ways of that step; steps go in order.

    Wanted is the schedule whose last step ends soonest.
    """

    name: str
    pools: tuple[int, ...]
    jobs: tuple[Steps, ...]
    steps: int = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "steps", sum(len(job) for job in self.jobs))

    @property
    def flows(self) -> bool:
        """Whether all jobs go through the same pools in the same order, without a choice."""
        routes = {tuple(tuple(way.pool for way in ways) for ways in job) for job in self.jobs}
        return len(routes) == 1 and all(len(ways) == 1 for job in self.jobs for ways in job)

    @property
    def latest(self) -> int:
        """A tick by which everything can be done: each step after the other."""
        return sum(max(way.ticks for way in ways) for job in self.jobs for ways in job)


@dataclass(frozen=True, slots=True)
class Placed:
    """A step with its way and start tick."""

    way: Way
    start: int

    @property
    def end(self) -> int:
        return self.start + self.way.ticks


Schedule = tuple[tuple[Placed, ...], ...]


def length(schedule: Schedule) -> int:
    """The tick at which the last step ends."""
    return max((placed.end for job in schedule for placed in job), default=0)
