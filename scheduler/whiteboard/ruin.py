"""Ruin and recreate: take a few lots off the board and put them back in another order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

from scheduler.problem import Draft, DraftRun, Lot, Problem
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.fit import Pick
from scheduler.whiteboard.masks import first, last, nth
from scheduler.whiteboard.place import Placing, Taste, place_lot

FOR_A_WAITING_LOT = 0.4  # how often a lot without a place says what is taken off
MOST = 0.8
USUAL = 0.6  # how often a start or a cut is chosen as a careful person would


class Ruin:
    """Steps from plan to plan; keeps no best of its own."""

    def __init__(self, problem: Problem, random: Random) -> None:
        self.problem, self.random = problem, random
        self.calendars = Calendars(problem)
        self._last = Board(problem, self.calendars)
        firm = problem.firm.lots
        self.lots = [
            lot for lot in problem.lots if lot.sizes and lot.dryers and lot.index not in firm
        ]

    def step(self, draft: Draft) -> Draft:
        """Another plan near this one."""
        racks = draft.racks_of(len(self.problem.lots))
        waiting = [lot for lot in self.lots if racks[lot.index] < lot.racks]
        favoured, off = self._taken_off(draft, waiting)
        off |= set(favoured)
        off |= {lot.index for lot in waiting if racks[lot.index] and self.random.random() < 1 / 3}
        board = self.rebuilt(draft, off)
        kept = board.draft().racks_of(len(self.problem.lots))
        removed = [index for index, count in enumerate(racks) if count and not kept[index]]
        again = self.order([*removed, *self._tempted(waiting, draft, set(removed))])
        taste = self.taste()
        for index in dict.fromkeys([*favoured, *again]):
            board = place_lot(board, self.problem.lots[index], taste)
        return board.draft()

    def _tempted(self, waiting: list[Lot], draft: Draft, removed: set[int]) -> list[int]:
        """Some lots without any place that could use the hole."""
        starts = [run.start for run in draft.runs if any(c.lot in removed for c in run.charges)]
        opens, closes = (
            (min(starts) - 150, max(starts) + 150) if starts else (0, self.problem.horizon)
        )
        placed = {c.lot for run in draft.runs for c in run.charges}
        near = [
            lot.index
            for lot in waiting
            if lot.index not in placed and lot.arrives <= closes and lot.latest >= opens
        ]
        self.random.shuffle(near)
        return near[: self.random.choice([2, 4, 8])]

    def taste(self) -> Taste:
        """Mostly early, large and snug; sometimes late; always with some chance in it."""
        random = self.random
        early = random.choice([1.0, 1.0, 0.3, 0.0, -0.5])
        size, empty, noise = (
            random.uniform(0, 4),
            random.uniform(0, 1.5),
            random.choice([5, 20, 100]),
        )

        def cost(board: Board, placing: Placing) -> float:
            dryer = board.problem.dryers[placing.run.dryer]
            left = dryer.racks - placing.run.racks - placing.size
            chance = random.uniform(0, noise)
            return early * placing.run.start - size * placing.size + empty * left + chance

        return Taste(cost, self._pick(first, last), self._pick(last, first))

    def _pick(self, usually: Pick, seldom: Pick) -> Pick:
        random = self.random

        def pick(mask: int) -> int:
            chance = random.random()
            if chance < USUAL:
                return usually(mask)
            if chance < (1 + USUAL) / 2:
                return seldom(mask)
            return nth(mask, random.randrange(mask.bit_count()))

        return pick

    def order(self, lots: list[int]) -> list[int]:
        """By chance, or by a rule of thumb with some chance in it."""
        problem, random = self.problem, self.random
        thumbs: tuple[Callable[[int], int], ...] = (
            lambda i: problem.lots[i].latest,
            lambda i: -problem.lots[i].prepared_g,
            lambda i: problem.lots[i].arrives,
            lambda i: -problem.lots[i].drying,
        )
        if random.random() < 2 / 5:
            random.shuffle(lots)
            return lots
        ranked = sorted(lots, key=random.choice(thumbs))
        spread = random.uniform(0, 0.3) * len(ranked)
        jittered = {lot: place + random.uniform(0, spread) for place, lot in enumerate(ranked)}
        return sorted(ranked, key=lambda lot: jittered[lot])

    def _taken_off(self, draft: Draft, waiting: list[Lot]) -> tuple[list[int], set[int]]:
        """The lots to put back first, and those to take off."""
        if waiting and draft.runs and self.random.random() < FOR_A_WAITING_LOT:
            lot = self.random.choice(waiting)
            return [lot.index], self._in_the_way(draft, lot)
        return [], self._by_chance(draft)

    def _in_the_way(self, draft: Draft, lot: Lot) -> set[int]:
        """What stands near a time when the lot could start, on some dryers that it could use."""
        random = self.random
        centre = random.randint(
            lot.arrives, max(lot.arrives, min(lot.latest, self.problem.horizon))
        )
        dryers = random.sample(lot.dryers, random.randint(1, len(lot.dryers)))
        width = random.choice([40, 80, 140])
        near = [
            run for run in draft.runs if run.dryer in dryers and abs(run.start - centre) <= width
        ]
        return {c.lot for run in near for c in run.charges}

    def _by_chance(self, draft: Draft) -> set[int]:
        random = self.random
        runs = draft.runs
        if not runs:
            return set()
        kind = random.choices(("near in time", "along a dryer", "anything"), (7, 5, 8))[0]
        if kind == "near in time":
            centre = random.choice(runs).start
            width = random.choice([40, 72, 144, 288])
            near = [run for run in runs if abs(run.start - centre) <= width]
            return {c.lot for run in near for c in run.charges if random.random() < MOST}
        if kind == "along a dryer":
            dryer = random.choice(runs).dryer
            own = sorted((run for run in runs if run.dryer == dryer), key=lambda r: r.start)
            at = random.randrange(len(own))
            return {c.lot for run in own[at : at + random.randint(1, 4)] for c in run.charges}
        placed = sorted({c.lot for run in runs for c in run.charges})
        return set(random.sample(placed, min(len(placed), random.randint(1, 6))))

    def rebuilt(self, draft: Draft, off: set[int]) -> Board:
        """A board with every lot of the draft but those taken off, at its old times; what is firm
        is never taken off."""
        off = off - self.problem.firm.lots
        while True:
            runs, more = self._left(draft, off)
            if not more:
                return self._board_with(runs)
            off |= more

    def _left(self, draft: Draft, off: set[int]) -> tuple[list[DraftRun], set[int]]:
        """What is left of the runs, and lots that must be taken off with the others."""
        problem = self.problem
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
            kept.append(run if charges == run.charges else replace(run, charges=charges))
        left: list[DraftRun] = []
        for index, run in enumerate(kept):
            following = kept[index + 1] if index + 1 < len(kept) else None
            needed = following is not None and wash_between(problem, run, following)
            if needed and run.wash_down is None and following is not None:
                stays = any(c.lot in problem.firm.lots for c in following.charges)
                more.update(c.lot for c in (run if stays else following).charges)
            firm = problem.firm.wash_downs.get(run.key)
            left.append(run if needed or run.wash_down == firm else replace(run, wash_down=firm))
        return left, more

    def _board_with(self, runs: list[DraftRun]) -> Board:
        """A board with these runs. From step to step few of them change, so that the last board is
        gone on from, unless it was overfull."""
        if self._last.overfull:
            self._last = Board(self.problem, self.calendars)
        self._last.turn_into(runs)
        return self._last.copy()


def wash_between(problem: Problem, run: DraftRun, following: DraftRun) -> bool:
    """Whether a run is washed down after before the following one (rule 8)."""
    groups = (
        problem.lots[run.charges[0].lot].group,
        problem.lots[following.charges[0].lot].group,
    )
    return run.dryer == following.dryer and groups in problem.washes
