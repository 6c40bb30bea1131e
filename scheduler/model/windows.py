"""A day or two filled anew: the relaxed week says which lots in which dryers, the solver how.

A day with all its lots free is too much for the solver. With those alone that the relaxed week
would have there, or that are there now, it is mostly solved to its end at once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property
from random import Random

from scheduler.model.build import build_model
from scheduler.model.hint import hint
from scheduler.model.objective import add_objective
from scheduler.model.relaxed import Relaxed, Wish
from scheduler.model.solve import Effort, solved
from scheduler.model.tally import Tally
from scheduler.problem import Draft, Lot, Problem, value
from scheduler.units import Grams
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.ruin import Ruin

FEWER = (0, 1, 3, 6)  # racks less than wished that are tried as well
ADVICE = 3  # less the days of the window
TASTES = (0.0, 0.05, 0.15)  # how far the worth of a lot is bent by chance


Window = tuple[range, bool]  # days, and whether every lot is free in it


class Windows:
    """Chooses days of a draft and fills them anew."""

    def __init__(self, problem: Problem, ruin: Ruin, random: Random) -> None:
        self.problem, self.ruin, self.random = problem, ruin, random
        self.tallies: dict[Window, Tally] = defaultdict(Tally)

    @cached_property
    def relaxed(self) -> Relaxed:
        """Made when it is first asked."""
        return Relaxed(self.problem)

    def improved(self, draft: Draft, effort: Effort) -> Draft | None:
        """A draft that has a day, or two that follow each other, filled anew; None if none was
        found."""
        if not self.ruin.lots or not self.relaxed.days:
            return None
        window = self._some_window()
        days, every = window
        wishes = self._everything(days) if every else self._advice(draft, days)
        found = self.filled(draft, days, wishes, effort)
        gained = -1 if found is None else value(self.problem, found) - value(self.problem, draft)
        self.tallies[window].count(gained > 0)
        return found if gained >= 0 else None

    def _advice(self, draft: Draft, days: range) -> list[Wish]:
        """What the relaxed week wishes for, for a single day under two tastes, and a lot more."""
        wishes: list[Wish] = []
        for _ in range(ADVICE - len(days)):
            bent = self.random.choice(TASTES)
            tastes = {lot.index: 1 + self.random.uniform(-bent, bent) for lot in self.ruin.lots}
            wishes += self.relaxed.wishes(draft, days, tastes)
        lot = self.random.choice(self.ruin.lots)
        every = [*wishes, Wish(lot.index, lot.dryers, lot.racks)]
        return [replace(each, racks=each.racks - fewer) for each in every for fewer in FEWER]

    def _everything(self, days: range) -> list[Wish]:
        """Every lot that may start then, in sizes that fill a dryer, half of it, or take all."""
        opens, closes = self._times(days)
        dryers = self.problem.dryers
        return [
            Wish(lot.index, lot.dryers, racks // parts)
            for lot in self.ruin.lots
            if lot.earliest <= closes and lot.latest >= opens
            for racks in {lot.racks, *(dryers[index].racks for index in lot.dryers)}
            for parts in (1, 2)
        ]

    def filled(self, draft: Draft, days: range, wishes: list[Wish], effort: Effort) -> Draft | None:
        """These days with what is wished for there, or what they have now; the other days as they
        are, but for when their runs are unloaded, checked and packed."""
        opens, closes = self._times(days)
        board = self.beside(draft, days)
        kept = board.draft()
        wishes = [*wishes, *self._own(draft, kept)]
        lots, sizes = [], {}
        for lot in self.ruin.lots:
            own = [wish for wish in wishes if wish.lot == lot.index]
            rest = left_of(lot, kept, opens, closes) if own else None
            if rest is not None:
                dryers = {dryer for wish in own for dryer in wish.dryers}
                lots.append(replace(rest, dryers=tuple(d for d in rest.dryers if d in dryers)))
                sizes[lot.index] = _sizes(rest, own)
        window = [self.relaxed.days[day] for day in days]
        build = build_model(self.problem, board.loosened(window), lots, sizes)
        if not build.charges:
            return None
        add_objective(build)
        hint(build, draft, effort)
        return solved(build, effort)

    def _some_window(self) -> Window:
        count = len(self.relaxed.days)
        ones = [range(first, first + 1) for first in range(count)]
        twos = [range(first, first + 2) for first in range(count - 1)]
        every = [*((days, False) for days in ones + twos), *((days, True) for days in ones)]
        return self.random.choices(every, [self.tallies[each].weight for each in every])[0]

    def _times(self, days: range) -> tuple[int, int]:
        return self.relaxed.days[days[0]].open, self.relaxed.days[days[-1]].close

    def beside(self, draft: Draft, days: range) -> Board:
        """What starts on other days, or is firm; not what would need a wash-down after a run that
        is taken off."""
        opens, closes = self._times(days)
        firm = self.problem.firm.lots
        inside = [run for run in draft.runs if opens <= run.start <= closes]
        off = {c.lot for run in inside for c in run.charges}
        others = tuple(
            run
            for run in draft.runs
            if run not in inside or any(c.lot in firm for c in run.charges)
        )
        whole = {index for index in off if self.problem.lots[index].parts}  # all of it or nothing
        return self.ruin.rebuilt(Draft(others), whole)

    def _own(self, draft: Draft, kept: Draft) -> Iterator[Wish]:
        """What the draft has where it is filled anew."""
        stays = {(run.key, charge.lot) for run in kept.runs for charge in run.charges}
        for run in draft.runs:
            for charge in run.charges:
                if (run.key, charge.lot) not in stays:
                    alike = self.relaxed.alike(run.dryer)
                    yield Wish(charge.lot, alike, charge.recipe.racks)


def left_of(lot: Lot, draft: Draft, opens: int, closes: int) -> Lot | None:
    """What is left of a lot beside a draft, for starts in these times; None where nothing of it
    may start then."""
    made = [c.recipe.racks for run in draft.runs for c in run.charges if c.lot == lot.index]
    left, charges = lot.racks - sum(made), lot.most_charges - len(made)
    earliest, latest = max(lot.earliest, opens), min(lot.latest, closes)
    whole = bool(lot.parts) and bool(made)
    sizes = {racks: recipes for racks, recipes in lot.sizes.items() if racks <= left}
    if whole or charges < 1 or not sizes or earliest > latest:
        return None
    return replace(
        lot,
        earliest=earliest,
        latest=latest,
        racks=left,
        prepared_g=Grams(lot.prepared_g - lot.worth(sum(made))),
        most_charges=charges,
        sizes=sizes,
    )


def _sizes(lot: Lot, wishes: list[Wish]) -> list[int]:
    """Charge sizes that come near what is wished for."""
    near = {
        max((size for size in lot.sizes if size <= wish.racks), default=min(lot.sizes))
        for wish in wishes
    }
    return sorted(near)
