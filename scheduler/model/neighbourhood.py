"""Large neighbourhoods: a few lots free, everything else kept, solved together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection
from random import Random

from scheduler.model.build import build_model
from scheduler.model.improve import gain, improved
from scheduler.model.solve import Effort
from scheduler.model.tally import Tally
from scheduler.problem import Day, Draft, DraftRun, Lot, Problem
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.ruin import Ruin

MOST_SIZES = 8
MOST_WAITING = 4
NEAR = 250  # ticks: most of a day


class Neighbourhoods:
    """Chooses what to free, more often where it has paid, and solves it."""

    def __init__(self, problem: Problem, ruin: Ruin, random: Random) -> None:
        self.problem, self.ruin, self.random = problem, ruin, random
        self.tallies: dict[str, Tally] = defaultdict(Tally)
        self.kinds: dict[str, Callable[[Draft, list[Lot]], set[int]]] = {
            "a day": self._day,
            "around a waiting lot": self._around_waiting,
            "two dryers": self._two_dryers,
            "close in time": self._close,
        }

    def improved(self, draft: Draft, effort: Effort) -> Draft | None:
        """A draft at least as good, or None."""
        racks = draft.racks_of(len(self.problem.lots))
        waiting = [lot for lot in self.ruin.lots if racks[lot.index] < self._wanted(lot, racks)]
        names = list(self.kinds)
        weights = [self.tallies[name].weight for name in names]
        name = self.random.choices(names, weights)[0]
        free = self.kinds[name](draft, waiting)
        if not free:
            return None
        found = self.solved(draft, free, effort)
        gained = gain(self.problem, draft, found)
        self.tallies[name].count(gained > 0)
        return found if gained >= 0 else None

    def _wanted(self, lot: Lot, racks: list[int]) -> int:
        return 1 if lot.parts and racks[lot.index] else lot.racks

    def solved(
        self, draft: Draft, free: set[int], effort: Effort, *, any_size: Collection[int] = ()
    ) -> Draft | None:
        """With those lots free, and all else of the draft where it is; None where none is found.

        any_size: lots of which not only likely sizes of charges are thought of.
        """
        board = self.ruin.rebuilt(draft, free)
        kept = board.draft().racks_of(len(self.problem.lots))
        before = draft.racks_of(len(self.problem.lots))
        free = free | {index for index, racks in enumerate(kept) if racks < before[index]}
        lots = [lot for lot in self.ruin.lots if lot.index in free]
        sizes = {
            lot.index: sorted(lot.sizes)
            if lot.index in any_size
            else self._sizes(lot, draft, board)
            for lot in lots
        }
        build = build_model(self.problem, board.loosened(self._days(draft, free)), lots, sizes)
        return improved(build, draft, effort)

    def _days(self, draft: Draft, free: set[int]) -> list[Day]:
        """The days on which any of these lots starts."""
        starts = [run.start for run in draft.runs if any(c.lot in free for c in run.charges)]
        return [d for d in self.problem.days if any(d.open <= start <= d.close for start in starts)]

    def _sizes(self, lot: Lot, draft: Draft, board: Board) -> list[int]:
        """Charge sizes worth a thought: the lot's own, what dryers and runs have room for, a few
        by chance."""
        if lot.most_charges == 1 or lot.parts:
            return [lot.racks]
        now = {c.recipe.racks for run in draft.runs for c in run.charges if c.lot == lot.index}
        rooms = {self.problem.dryers[index].racks for index in lot.dryers}
        for index in lot.dryers:
            rooms.update(self.problem.dryers[index].racks - run.racks for run in board.runs[index])
        likely = {lot.racks, (lot.racks + 1) // 2, lot.racks // 2}
        likely |= {min(room, lot.racks) for room in rooms} | {lot.racks - room for room in rooms}
        by_chance = self.random.sample(sorted(lot.sizes), min(2, len(lot.sizes)))
        ranked = [*sorted(now), *sorted(likely - now, reverse=True), *by_chance]
        fitting = [size for size in dict.fromkeys(ranked) if size in lot.sizes]
        return sorted(fitting[:MOST_SIZES])

    def _some(self, waiting: list[Lot], opens: int, closes: int) -> set[int]:
        near = [lot.index for lot in waiting if lot.arrives <= closes and lot.latest >= opens]
        self.random.shuffle(near)
        return set(near[:MOST_WAITING])

    def _planning_day(self) -> Day:
        return self.random.choice([day for day in self.problem.days if day.plans])

    def _day(self, draft: Draft, waiting: list[Lot]) -> set[int]:
        day = self._planning_day()
        free = _lots_in([run for run in draft.runs if day.open <= run.start <= day.close])
        return free | self._some(waiting, day.open, day.close)

    def _around_waiting(self, draft: Draft, waiting: list[Lot]) -> set[int]:
        if not waiting:
            return set()
        lot = self.random.choice(waiting)
        near = [run for run in draft.runs if lot.arrives - 100 <= run.start <= lot.latest + 60]
        self.random.shuffle(near)
        return {lot.index} | _lots_in(near[: self.random.randint(3, 6)])

    def _two_dryers(self, draft: Draft, waiting: list[Lot]) -> set[int]:
        count = len(self.problem.dryers)
        dryers = self.random.sample(range(count), min(2, count))
        centre = self._planning_day().open + 60
        near = [run for run in draft.runs if run.dryer in dryers and abs(run.start - centre) < NEAR]
        return _lots_in(near) | self._some(waiting, centre - NEAR, centre + NEAR)

    def _close(self, draft: Draft, waiting: list[Lot]) -> set[int]:
        centre = self._planning_day().open + self.random.choice([0, 72, 144])
        near = sorted(draft.runs, key=lambda run: abs(run.start - centre))
        free = _lots_in(near[: self.random.randint(3, 7)])
        return free | self._some(waiting, centre - 150, centre + 200)


def _lots_in(runs: list[DraftRun]) -> set[int]:
    return {charge.lot for run in runs for charge in run.charges}
