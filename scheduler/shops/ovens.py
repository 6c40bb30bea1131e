"""Ovens: batches of jobs of one family, within availability windows, with set-ups in between.

The published Oven Scheduling Problem (Lackner et al., Constraints 28(2), 2023) in our own values.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

Windows = tuple[tuple[int, int], ...]
Table = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Oven:
    """windows: from, to; a batch lies in one of them, its set-up too. family: set up at first."""

    capacity: int
    windows: Windows
    family: int


@dataclass(frozen=True, slots=True)
class Job:
    """ovens that take it. A batch with it lasts shortest to longest ticks; it is late where its
    batch ends after latest."""

    ovens: tuple[int, ...]
    family: int
    size: int
    earliest: int
    latest: int
    shortest: int
    longest: int


@dataclass(frozen=True, slots=True)
class Weights:
    """What a tick in an oven counts, a late job, and a unit of set-up cost; scale: by what their
    sum is divided for the published figure."""

    tick: int
    late: int
    set_up: int
    scale: int


@dataclass(frozen=True, slots=True)
class Ovens:
    """set_up_ticks, set_up_cost: [family before][family after]. Every job is in one batch."""

    name: str
    ovens: tuple[Oven, ...]
    jobs: tuple[Job, ...]
    set_up_ticks: Table
    set_up_cost: Table
    weights: Weights

    @property
    def horizon(self) -> int:
        return max((to for oven in self.ovens for _, to in oven.windows), default=0)

    def set_up_for(self, index: int) -> frozenset[int]:
        """The families that an oven may be set up for before a batch."""
        inside = {job.family for job in self.jobs if index in job.ovens}
        return frozenset({*inside, self.ovens[index].family})

    def least_set_up(self, table: Table, index: int, family: int) -> int:
        """The least that the table has before a batch of a family in an oven, whatever it
        follows."""
        return min(table[before][family] for before in self.set_up_for(index))


@dataclass(frozen=True, slots=True)
class Batch:
    """jobs in an oven together, from start on, for so many ticks."""

    oven: int
    start: int
    ticks: int
    jobs: tuple[int, ...]

    @property
    def end(self) -> int:
        return self.start + self.ticks


Loads = tuple[Batch, ...]


def in_order(loads: Sequence[Batch], oven: int) -> list[Batch]:
    """The batches of an oven as they follow each other."""
    return sorted((b for b in loads if b.oven == oven), key=lambda batch: batch.start)


def cost(ovens: Ovens, loads: Loads) -> int:
    """Weighted ticks, late jobs and set-up cost."""
    weights = ovens.weights
    late = sum(b.end > ovens.jobs[job].latest for b in loads for job in b.jobs)
    set_up = sum(ovens.set_up_cost[before][after] for before, after in _changes(ovens, loads))
    ticks = sum(batch.ticks for batch in loads)
    return weights.tick * ticks + weights.late * late + weights.set_up * set_up


def _changes(ovens: Ovens, loads: Loads) -> Iterator[tuple[int, int]]:
    for index, oven in enumerate(ovens.ovens):
        before = oven.family
        for batch in in_order(loads, index):
            after = ovens.jobs[batch.jobs[0]].family
            yield before, after
            before = after
