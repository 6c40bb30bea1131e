"""The relaxed week asked for advice: what it would have on some days, beside what a draft has on
the others."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass

from scheduler.model.master import Master
from scheduler.model.programme import Share, Start
from scheduler.problem import Day, Draft, DraftRun, Problem

SOME = 0.3  # racks; less is not worth a charge
PATIENCE_S = 20.0


@dataclass(frozen=True, slots=True)
class Wish:
    """So many racks of a lot in a run, in one of several dryers that are alike."""

    lot: int
    dryers: tuple[int, ...]
    racks: int


class Relaxed:
    """The programme of a week, made once and asked often."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.master = Master(problem)
        self.programme = self.master.programme
        self._kinds = {
            dryer.index: number for number, kind in enumerate(self.master.kinds) for dryer in kind
        }
        self._inside: dict[int, dict[int, Share]] = defaultdict(dict)
        self._starts: dict[tuple[int, int, int, int], list[Start]] = defaultdict(list)
        for share in self.master.shares:
            self._inside[share.start.column][share.lot.index] = share
        for start in sorted(self.master.starts, key=lambda each: each.tick):
            key = self._key(start.kind, start.released, start.drying, start.group)
            self._starts[key].append(start)

    @property
    def days(self) -> list[Day]:
        """The days on which runs may start."""
        return self.master.days

    def alike(self, dryer: int) -> tuple[int, ...]:
        """A dryer and all that are like it."""
        return tuple(each.index for each in self.master.kinds[self._kinds[dryer]])

    def wishes(self, draft: Draft, days: Container[int], tastes: Mapping[int, float]) -> list[Wish]:
        """What would be worth most on these days (by number), the others as the draft has them.

        tastes: by lot, what its worth is multiplied with. Empty where the programme was not solved.
        """
        shares = self.master.shares
        costs = {
            share.column: self.programme.costs[share.column] * tastes.get(share.lot.index, 1.0)
            for share in shares
        }
        found = self.programme.solution(costs, self._kept(draft, days), PATIENCE_S)
        return [
            Wish(
                share.lot.index,
                self.alike(self.master.kinds[share.start.kind][0].index),
                round(found[share.column]),
            )
            for share in shares
            if found and share.start.day in days and found[share.column] > SOME
        ]

    def _kept(self, draft: Draft, days: Container[int]) -> dict[int, float]:
        """The columns of the other days: what the draft has there."""
        kept = {start.column: 0.0 for start in self.master.starts if start.day not in days}
        for share in self.master.shares:
            if share.start.day not in days:
                kept[share.column] = 0.0
        for run in draft.runs:
            for column, amount in self._columns(run):
                if column in kept:
                    kept[column] += amount
        return kept

    def _key(self, kind: int, released: int, drying: int, group: int) -> tuple[int, int, int, int]:
        return kind, released // self.master.grain, drying, group

    def _columns(self, run: DraftRun) -> Iterator[tuple[int, float]]:
        """A run as the programme has it, at a start as good as its own; or not at all."""
        lots = {charge.lot for charge in run.charges}
        released = self.problem.release(run.start + run.drying)
        group = self.problem.lots[run.charges[0].lot].group
        key = self._key(self._kinds[run.dryer], released or 0, run.drying, group)
        for start in self._starts[key]:
            inside = self._inside[start.column]
            if start.tick >= run.start and lots <= set(inside):
                yield start.column, 1.0
                for charge in run.charges:
                    yield inside[charge.lot].column, float(charge.recipe.racks)
                return
