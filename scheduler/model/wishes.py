"""What a window is filled with: what the relaxed week would have there, any lot, or what waits."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from random import Random

from scheduler.model.relaxed import Relaxed, Wish
from scheduler.problem import Draft, Lot, Problem

FEWER = (0, 1, 3, 6)  # racks less than wished that are tried as well
ADVICE = 3  # less the days of the window
TASTES = (0.0, 0.05, 0.15)  # how far the worth of a lot is bent by chance
FEWEST_WAITING = 4  # lots (from trials)


class Wishes:
    """Finds wishes for days of a draft, more of them the harder it tries (0 and up)."""

    def __init__(self, problem: Problem, lots: list[Lot], random: Random) -> None:
        self.problem, self.lots, self.random = problem, lots, random

    @cached_property
    def relaxed(self) -> Relaxed:
        """Made when it is first asked."""
        return Relaxed(self.problem)

    def times(self, days: range) -> tuple[int, int]:
        """The first tick and the last of days that follow each other."""
        return self.relaxed.days[days[0]].open, self.relaxed.days[days[-1]].close

    def starting(self, days: range) -> list[Lot]:
        """The lots that may start on these days."""
        opens, closes = self.times(days)
        return [lot for lot in self.lots if lot.earliest <= closes and lot.latest >= opens]

    def advised(self, draft: Draft, days: range, harder: int) -> list[Wish]:
        """What the relaxed week wishes for, for a single day under two tastes, and lots by
        chance."""
        wishes: list[Wish] = []
        for _ in range(ADVICE - len(days)):
            bent = self.random.choice(TASTES)
            tastes = {lot.index: 1 + self.random.uniform(-bent, bent) for lot in self.lots}
            wishes += self.relaxed.wishes(draft, days, tastes)
        some = self.random.sample(self.lots, min(1 + 2 * harder, len(self.lots)))
        every = [*wishes, *(Wish(lot.index, lot.dryers, lot.racks) for lot in some)]
        return [replace(each, racks=each.racks - fewer) for each in every for fewer in FEWER]

    def any_lot(self, _: Draft, days: range, __: int) -> list[Wish]:
        """Every lot that may start then, in sizes that fill a dryer, half of it, or take all."""
        return [wish for lot in self.starting(days) for wish in self._large(lot, lot.racks)]

    def anything(self, _: Draft, days: range, __: int) -> list[Wish]:
        """Every lot in every size."""
        return [
            Wish(lot.index, lot.dryers, size) for lot in self.starting(days) for size in lot.sizes
        ]

    def waiting(self, draft: Draft, days: range, harder: int) -> list[Wish]:
        """Some lots that wait, or of which a part does, in such sizes."""
        racks = draft.racks_of(len(self.problem.lots))
        waiting = [lot for lot in self.starting(days) if racks[lot.index] < lot.racks]
        some = self.random.sample(waiting, min(FEWEST_WAITING + 2 * harder, len(waiting)))
        return [wish for lot in some for wish in self._large(lot, lot.racks - racks[lot.index])]

    def _large(self, lot: Lot, most: int) -> list[Wish]:
        rooms = {most, *(self.problem.dryers[index].racks for index in lot.dryers)}
        return [
            Wish(lot.index, lot.dryers, room // parts) for room in sorted(rooms) for parts in (1, 2)
        ]
