"""Two drafts mixed: lots that differ, each where the one or the other has it.

Two climbers that go apart come to rest in different places; what is good in both is often better
than either. Some of the lots are tried at first, more of them after each try in vain.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from random import Random

from scheduler.model.build import build_model
from scheduler.model.improve import gain, improved
from scheduler.model.runs import day_of_start
from scheduler.model.solve import Effort
from scheduler.model.tries import Tries
from scheduler.model.windows import Windows
from scheduler.problem import Draft, Lot, Problem
from scheduler.whiteboard.masks import span
from scheduler.whiteboard.ruin import Ruin

FEW = 9  # lots that are mixed at first (from trials on august and glut)
AS_MANY = 3  # windows that it weighs as much as (from trials on august and glut)


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a charge is: its day, the dryers that are like its own, and its racks."""

    day: int
    dryers: tuple[int, ...]
    racks: int


Places = dict[int, list[Place]]  # by lot


class Mixing:
    """Takes over parts of another draft."""

    def __init__(self, problem: Problem, ruin: Ruin, random: Random, windows: Windows) -> None:
        self.problem, self.ruin, self.random, self.windows = problem, ruin, random, windows
        self.tries = Tries()

    @property
    def weight(self) -> float:
        """How readily it is taken, beside the windows' weight."""
        return AS_MANY * self.tries.weight

    def improved(self, draft: Draft, other: Draft, effort: Effort) -> Draft | None:
        """A draft at least as good as the first; None if none was found."""
        own, others = self._places(draft), self._places(other)
        differ = sorted(i for i in {*own, *others} if own.get(i) != others.get(i))
        few = self.random.sample(differ, min(FEW * self.tries.doubled, len(differ)))
        places = {i: [*own.get(i, ()), *others.get(i, ())] for i in few}
        found = self._mixed(draft, own, places, self.tries.effort(effort)) if few else None
        gained = gain(self.problem, draft, found)
        self.tries.count(gained > 0)
        if gained > 0:
            self.tries.in_vain = 0  # they differ less now: begun with a few again
        return found if gained >= 0 else None

    def _places(self, draft: Draft) -> Places:
        places: Places = defaultdict(list)
        for run in draft.runs:
            day, alike = day_of_start(self.problem, run), self.windows.relaxed.alike(run.dryer)
            for charge in run.charges:
                if charge.lot not in self.problem.firm.lots:
                    places[charge.lot].append(Place(day, alike, charge.recipe.racks))
        return {index: sorted(own) for index, own in places.items()}

    def _mixed(self, draft: Draft, own: Places, places: Places, effort: Effort) -> Draft | None:
        """Those lots at any of their places, all else as the draft has it."""
        board = self.ruin.rebuilt(draft, set(places))
        stays = {charge.lot for run in board.draft().runs for charge in run.charges}
        places = {i: found for i, found in own.items() if i not in stays} | places
        lots = [
            self._only_at(lot, places[lot.index]) for lot in self.ruin.lots if lot.index in places
        ]
        sizes = {index: sorted({place.racks for place in at}) for index, at in places.items()}
        days = {place.day for at in places.values() for place in at}
        loose = board.loosened([self.problem.days[day] for day in sorted(days)])
        build = build_model(self.problem, loose, lots, sizes)
        return improved(build, draft, effort)

    def _only_at(self, lot: Lot, places: list[Place]) -> Lot:
        """The lot on those days in those dryers, and nowhere else."""
        where = [0] * len(self.problem.dryers)
        for place in places:
            day = self.problem.days[place.day]
            for dryer in place.dryers:
                where[dryer] |= span(day.open, day.close) & lot.starts_on(dryer)
        dryers = tuple(dryer for dryer in lot.dryers if where[dryer])
        return replace(lot, dryers=dryers, where=tuple(where))
