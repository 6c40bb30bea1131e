"""Ruin and recreate: take a few lots off the board and put them back in another order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

from scheduler.problem import Draft, DraftRun, Lot, Problem
from scheduler.whiteboard.board import Board, Calendars
from scheduler.whiteboard.fit import Pick
from scheduler.whiteboard.masks import first, last, nth
from scheduler.whiteboard.place import Placing, Taste, place_lot


class Ruin:
    """Steps from plan to plan; keeps no best of its own."""

    def __init__(self, problem: Problem, random: Random) -> None:
        self.problem, self.random = problem, random
        self.calendars = Calendars(problem)
        self.lots = [lot for lot in problem.lots if lot.sizes and lot.dryers]

    def step(self, draft: Draft) -> Draft:
        """Another plan near this one."""
        off = self._taken_off(draft)
        board = self.rebuilt(draft, off)
        placed = {c.lot for runs in board.runs for run in runs for c in run.charges}
        racks = board.draft().racks_of(len(self.problem.lots))
        missing = [lot for lot in self.lots if racks[lot.index] < lot.racks]
        # a lot that is placed in part is taken off and put back as a whole
        partly = {lot.index for lot in missing if lot.index in placed}
        if partly:
            board = self.rebuilt(board.draft(), partly)
        order = self._order([lot.index for lot in self._tempted(missing, draft, off, placed)])
        weights = (self.random.uniform(0, 4), self.random.uniform(0, 1.5), self.random.uniform(0, 12))
        taste = Taste(self._cost(weights), self._pick(0.6, first), self._pick(0.6, last))
        for index in order:
            board = place_lot(board, self.problem.lots[index], taste)
        return board.draft()

    def _tempted(self, missing: list[Lot], draft: Draft, off: set[int], placed: set[int]) -> list[Lot]:
        """The lots to try again: those taken off, and some of the waiting ones near the hole."""
        starts = [run.start for run in draft.runs if any(c.lot in off for c in run.charges)]
        opens, closes = (min(starts) - 150, max(starts) + 150) if starts else (0, 10**6)
        was_placed = {c.lot for run in draft.runs for c in run.charges}
        again = [lot for lot in missing if lot.index in was_placed or lot.index in placed]
        waiting = [
            lot
            for lot in missing
            if lot.index not in was_placed and lot.arrives <= closes and lot.latest >= opens
        ]
        self.random.shuffle(waiting)
        return again + waiting[: self.random.choice([2, 4, 8])]

    def _cost(self, weights: tuple[float, float, float]) -> Callable[[Board, Placing], float]:
        size, empty, noise = weights

        def cost(board: Board, placing: Placing) -> float:
            dryer = board.problem.dryers[placing.run.dryer]
            left = dryer.racks - placing.run.racks - placing.size
            return (
                placing.run.start
                - size * placing.size
                + empty * left
                + self.random.uniform(0, noise)
            )

        return cost

    def _pick(self, usual: float, usually: Pick) -> Pick:
        random = self.random

        def pick(mask: int) -> int:
            kind = random.random()
            if kind < usual:
                return usually(mask)
            if kind < usual + 0.2:
                return last(mask) if usually is first else first(mask)
            return nth(mask, random.randrange(mask.bit_count()))

        return pick

    def _order(self, lots: list[int]) -> list[int]:
        problem, random = self.problem, self.random
        kind = random.random()
        keys = {
            0: lambda i: problem.lots[i].latest,
            1: lambda i: -problem.lots[i].prepared_g,
            2: lambda i: problem.lots[i].arrives,
            3: lambda i: -problem.lots[i].drying,
        }
        if kind < 0.4:
            random.shuffle(lots)
            return lots
        key = keys[random.randrange(4)]
        spread = random.uniform(0, 0.3)
        ranked = sorted(lots, key=key)
        return sorted(ranked, key=lambda i: ranked.index(i) + random.uniform(0, spread * len(ranked)))

    def _taken_off(self, draft: Draft) -> set[int]:
        random = self.random
        runs = draft.runs
        if not runs:
            return set()
        kind = random.random()
        if kind < 0.35:
            centre = random.choice(runs).start
            width = random.choice([40, 72, 144, 288])
            near = [run for run in runs if abs(run.start - centre) <= width]
            return {c.lot for run in near for c in run.charges if random.random() < 0.8}
        if kind < 0.6:
            dryer = random.choice(runs).dryer
            own = sorted((run for run in runs if run.dryer == dryer), key=lambda r: r.start)
            first = random.randrange(len(own))
            return {c.lot for run in own[first : first + random.randint(1, 4)] for c in run.charges}
        placed = sorted({c.lot for run in runs for c in run.charges})
        return set(random.sample(placed, min(len(placed), random.randint(1, 6))))

    def rebuilt(self, draft: Draft, off: set[int]) -> Board:
        """A board with every lot of the draft but those taken off, at its old times."""
        off = set(off)
        while True:
            board, more = self._try_rebuilt(draft, off)
            if not more:
                return board
            off |= more

    def _try_rebuilt(self, draft: Draft, off: set[int]) -> tuple[Board, set[int]]:
        problem = self.problem
        board = Board(problem, self.calendars)
        more: set[int] = set()
        kept: list[DraftRun] = []
        for run in draft.runs:
            charges = tuple(c for c in run.charges if c.lot not in off)
            if not charges:
                continue
            drying = max(problem.lots[c.lot].drying for c in charges)
            if drying < run.drying:
                more.update(c.lot for c in charges)
                continue
            kept.append(replace(run, charges=charges))
        for index, run in enumerate(kept):
            following = kept[index + 1] if index + 1 < len(kept) else None
            needed = (
                following is not None
                and following.dryer == run.dryer
                and (problem.lots[run.charges[0].lot].group, problem.lots[following.charges[0].lot].group)
                in problem.washes
            )
            if needed and run.wash_down is None:
                more.update(c.lot for c in following.charges)
            board.add_run(run if needed else replace(run, wash_down=None))
        return board, more
