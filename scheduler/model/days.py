"""A first draft day by day: each day filled as well as the solver can, what stands before it kept.

A day by itself is small enough to be filled nearly to its bound, which steps that change a whole
week at a time seldom do.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from scheduler.model.build import build_model
from scheduler.model.hint import hint
from scheduler.model.objective import add_objective
from scheduler.model.solve import Effort, solved
from scheduler.problem import Day, Draft, Lot, Problem, worth
from scheduler.units import Grams
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.place import place_lot
from scheduler.whiteboard.ruin import Ruin

SIZES = 6
BY_HAND = 40


def day_by_day(problem: Problem, ruin: Ruin, effort: Effort, *, start: Draft) -> Iterator[Draft]:
    """The draft after each day that has room beside start, the last one whole; effort: for one
    day."""
    draft = ruin.rebuilt(start, set()).draft()
    for day in problem.days:
        if not day.plans:
            continue
        board = ruin.rebuilt(draft, set())
        lots = [today for lot in ruin.lots if (today := _today(lot, day, draft)) is not None]
        if not lots:
            continue
        made = _by_hand(board, lots, ruin)
        sizes = {lot.index: _sizes(lot, problem, made) for lot in lots}
        build = build_model(problem, board, lots, sizes)
        if not build.charges:
            continue
        add_objective(build)
        hint(build, made, effort)
        draft = max(solved(build, effort) or made, made, key=partial(worth, problem))
        yield draft


def _by_hand(board: Board, lots: list[Lot], ruin: Ruin) -> Draft:
    """The best of some ways to fill the day lot by lot, for the solver to begin with."""
    today = {lot.index: lot for lot in lots}
    best, most = board.draft(), 0
    for _ in range(BY_HAND):
        twin, taste = board.copy(), ruin.taste()
        for index in ruin.order(list(today)):
            twin = place_lot(twin, today[index], taste)
        draft = twin.draft()
        gained = worth(ruin.problem, draft)
        if gained > most:
            best, most = draft, gained
    return best


def _today(lot: Lot, day: Day, draft: Draft) -> Lot | None:
    """What is left of a lot, for starts on that day; None where nothing of it may start then."""
    made = [c.recipe.racks for run in draft.runs for c in run.charges if c.lot == lot.index]
    left, charges = lot.racks - sum(made), lot.most_charges - len(made)
    earliest, latest = max(lot.earliest, day.open), min(lot.latest, day.close)
    whole = bool(lot.parts) and bool(made)
    sizes = {racks: recipes for racks, recipes in lot.sizes.items() if racks <= left}
    if whole or not charges or not sizes or earliest > latest:
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


def _sizes(lot: Lot, problem: Problem, made: Draft) -> list[int]:
    """A few sizes: the largest and the least, what fills a dryer, what was made by hand, and some
    in between."""
    every = sorted(lot.sizes)
    if lot.most_charges == 1 or len(every) <= SIZES:
        return every
    chosen = {every[0], every[-1]}
    chosen |= {racks for index in lot.dryers if (racks := problem.dryers[index].racks) in every}
    chosen |= {c.recipe.racks for run in made.runs for c in run.charges if c.lot == lot.index}
    chosen &= set(every)
    between = max(0, SIZES - len(chosen))
    chosen |= {every[(n + 1) * len(every) // (between + 1) - 1] for n in range(between)}
    return sorted(chosen)
