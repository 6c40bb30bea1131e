"""Placing a lot whole beside the rest of a plan by hand: nothing that has a place is moved."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random

from scheduler.problem import Draft
from scheduler.reasons.trials import Trial
from scheduler.whiteboard import soonest
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.masks import first, last
from scheduler.whiteboard.place import Placing, Taste, place_lot


def by_hand(trial: Trial, random: Random) -> Draft | None:
    """The lot put where it fits, in several tastes, with those that the change has displaced."""
    others = sorted(trial.short(trial.draft) - {trial.lot.index})
    for taste in _tastes(random, trial.chances):
        for order in _orders(trial.lot.index, others):
            draft = filled_up(trial, trial.board.copy(), order, taste)
            if not trial.short(draft):
                return draft
    return None


def fits_alone(trial: Trial, random: Random) -> bool:
    """Whether the lot fits into a week that has nothing else to do."""
    board = trial.ruin.rebuilt(Draft(), set())
    drafts = (
        filled_up(trial, board.copy(), [trial.lot.index], taste)
        for taste in _tastes(random, trial.chances)
    )
    return any(trial.lot.index not in trial.short(draft) for draft in drafts)


def _orders(lot: int, others: list[int]) -> Iterator[list[int]]:
    yield [lot, *others]
    if others:
        yield [*others, lot]


def filled_up(trial: Trial, board: Board, order: list[int], taste: Taste) -> Draft:
    """The board's draft once those lots are put on it in that order."""
    for index in order:
        board = place_lot(board, trial.problem.lots[index], taste)
    return board.draft()


def _tastes(random: Random, chances: int) -> Iterator[Taste]:
    yield Taste(soonest)
    yield Taste(soonest, last, last)
    yield Taste(lambda _, placing: -placing.run.start, last, last)
    for _ in range(chances):
        yield taste_by_chance(random)


def taste_by_chance(random: Random) -> Taste:
    """Early, large and snug in a measure drawn by chance."""
    size, empty, noise = random.uniform(0, 4), random.uniform(0, 1.5), random.uniform(0, 12)

    def cost(board: Board, placing: Placing) -> float:
        left = board.problem.dryers[placing.run.dryer].racks - placing.run.racks - placing.size
        chance = random.uniform(0, noise)
        return placing.run.start - size * placing.size + empty * left + chance

    picks: tuple[Callable[[int], int], ...] = (first, last)
    return Taste(cost, random.choice(picks), random.choice(picks))
