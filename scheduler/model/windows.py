"""Part of the week filled anew: days, or some dryers on them. It is said which lots may go there,
in which dryers, and the solver says how.

A day with all its lots free in every size is too much for the solver. With those alone that the
relaxed week would have there, or that wait, or that are there now, it is mostly solved to its end
at once; in a large kitchen it is cut down further. A window that brought nothing comes less often,
and is tried harder then.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from random import Random

from scheduler.model.build import build_model
from scheduler.model.cut_down import MOST, cut_down
from scheduler.model.improve import gain, improved
from scheduler.model.master import large
from scheduler.model.relaxed import Relaxed, Wish
from scheduler.model.returns import Returns
from scheduler.model.solve import Effort
from scheduler.model.tries import Tries
from scheduler.model.whole import taken_at_once
from scheduler.model.wishes import Wishes
from scheduler.problem import Draft, Lot, Problem
from scheduler.units import Grams
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.ruin import Ruin

SOME, FEWEST = 0.6, 2  # of the dryers (from trials on august and glut)


@dataclass(frozen=True, slots=True)
class Kind:
    """A way to choose what is filled anew. days: that follow each other, 0 for all; asks: for
    wishes; cost: of a first try, advice and all, beside the others' (from trials); work: times that
    of a window; ready: how readily it is taken before it has been tried; some: of the dryers
    only."""

    days: int
    asks: Callable[[Wishes, Draft, range, int], list[Wish]]
    cost: float
    work: float = 1.0
    ready: float = 1.0
    some: bool = False


# all days at once, in a small week (from trials on single days)
WHOLE = Kind(0, Wishes.anything, cost=4.0, work=2.0, ready=4.0)
KINDS = (
    Kind(1, Wishes.advised, cost=2.0),
    Kind(1, Wishes.any_lot, cost=1.5),
    Kind(2, Wishes.advised, cost=4.0, work=2.0),
    Kind(2, Wishes.waiting, cost=1.0, ready=4.0, some=True),
)


@dataclass(frozen=True, slots=True)
class Window:
    """Days, and what has come of filling them."""

    kind: Kind
    days: range
    tries: Tries


class Windows:
    """Chooses parts of a draft and fills them anew."""

    def __init__(self, problem: Problem, ruin: Ruin, random: Random) -> None:
        self.problem, self.ruin, self.random = problem, ruin, random
        self.wishes = Wishes(problem, ruin.lots, random)
        self.returns: Returns[Kind] = Returns()

    @property
    def relaxed(self) -> Relaxed:
        """The relaxed week that is asked for advice."""
        return self.wishes.relaxed

    @cached_property
    def windows(self) -> list[Window]:
        """All of every kind in which a lot may start."""
        count = len(self.relaxed.days)
        every = [
            Window(kind, range(first, first + kind.days), Tries(kind.ready, kind.work))
            for kind in KINDS
            for first in range(count - kind.days + 1)
        ]
        if taken_at_once(self.problem):
            every.append(Window(WHOLE, range(count), Tries(WHOLE.ready, WHOLE.work)))
        return [each for each in every if self.wishes.starting(each.days)]

    @property
    def weight(self) -> float:
        """How readily any of them is taken, whatever its kind pays."""
        return sum(each.tries.weight for each in self.windows)

    def improved(self, draft: Draft, effort: Effort) -> Draft | None:
        """A draft that has a window filled anew; None if none was found."""
        if not self.ruin.lots or not self.windows:
            return None
        window = self.random.choices(self.windows, [self.readiness(w) for w in self.windows])[0]
        days, dryers = window.days, self._some_dryers() if window.kind.some else None
        wishes = window.kind.asks(self.wishes, draft, days, window.tries.in_vain)
        most = MOST * window.tries.doubled if self.large else None
        found = self.filled(draft, days, wishes, window.tries.effort(effort), dryers, most)
        gained = gain(self.problem, draft, found)
        self.returns.count(window.kind, gained, window.kind.cost * window.tries.doubled)
        window.tries.count(gained > 0)
        return found if gained >= 0 else None

    @cached_property
    def large(self) -> bool:
        """Whether the week is so large that not every window can be tried, nor solved whole."""
        return large(self.problem)

    def readiness(self, window: Window) -> float:
        """How readily one is taken beside the others: rather one that has won. In a large week one
        that has not been tried is thought to pay as its kind does; in smaller ones there is time to
        try all, and august's plans were worse with it."""
        known = window.tries.tried or not self.large
        return window.tries.weight * (1.0 if known else self.returns.share(window.kind))

    def _some_dryers(self) -> list[int]:
        count = len(self.problem.dryers)
        return self.random.sample(range(count), min(count, max(FEWEST, round(SOME * count))))

    def filled(
        self,
        draft: Draft,
        days: range,
        wishes: list[Wish],
        effort: Effort,
        dryers: Collection[int] | None = None,
        most: int | None = None,
    ) -> Draft | None:
        """These days with what is wished for there, or what they have now; other days, and dryers
        that are not among some, as they are, but for when their runs are unloaded, checked and
        packed. most: choices, where there is a limit."""
        opens, closes = self.wishes.times(days)
        board = self.beside(draft, days, dryers)
        kept = board.draft()
        there = list(self._own(draft, kept))
        wishes = [*wishes, *there]
        lots, sizes = [], {}
        for lot in self.ruin.lots:
            own = [wish for wish in wishes if wish.lot == lot.index]
            rest = left_of(lot, kept, opens, closes) if own else None
            if rest is not None:
                fit = {dryer for wish in own for dryer in wish.dryers}
                lots.append(replace(rest, dryers=tuple(d for d in rest.dryers if d in fit)))
                sizes[lot.index] = _sizes(rest, own)
        if most is not None:
            lots, sizes = cut_down(lots, sizes, there, most, self.random)
        window = [self.relaxed.days[day] for day in days]
        build = build_model(self.problem, board.loosened(window), lots, sizes)
        return improved(build, draft, effort)

    def beside(self, draft: Draft, days: range, dryers: Collection[int] | None = None) -> Board:
        """What starts on other days or other dryers than these, or is firm; not what would need a
        wash-down after a run that is taken off."""
        opens, closes = self.wishes.times(days)
        firm = self.problem.firm.lots
        inside = [
            run
            for run in draft.runs
            if opens <= run.start <= closes and (dryers is None or run.dryer in dryers)
        ]
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
