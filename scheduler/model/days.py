"""The week day by day: each day filled as well as the solver can, all other days kept.

A day by itself is small enough to be filled nearly to its bound, which steps that change a whole
week at a time seldom do.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import replace
from functools import partial

from scheduler.expand import can_be_placed
from scheduler.model.build import build_model
from scheduler.model.hint import hint
from scheduler.model.objective import add_objective
from scheduler.model.solve import Effort, solved
from scheduler.problem import Day, Draft, Lot, Problem, value, worth
from scheduler.units import Grams
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.place import place_lot
from scheduler.whiteboard.ruin import Ruin

SIZES = 6
BY_HAND = 40


def day_by_day(
    problem: Problem, ruin: Ruin, effort: Effort, *, start: Draft, days: list[Day]
) -> Iterator[Draft]:
    """The draft after each of the days, in the order given, filled anew beside what start has on
    the others; effort: for one day."""
    draft = start
    for day in days:
        board = ruin.rebuilt(_beside(draft, day, problem.firm.lots), set())
        kept = board.draft()
        lots = [today for lot in ruin.lots if (today := _today(lot, day, kept)) is not None]
        if not lots:
            continue
        gained = partial(value, problem)
        made = max(draft, _by_hand(board, lots, ruin), key=gained)
        sizes = {lot.index: _sizes(lot, problem, made) for lot in lots}
        build = build_model(problem, board.loosened([day]), lots, sizes)
        if not build.charges:
            continue
        add_objective(build)
        hint(build, made, effort)
        found = [each for each in (solved(build, effort), made) if each is not None]
        draft = max([draft, *(e for e in found if can_be_placed(problem, e))], key=gained)
        yield draft


def _beside(draft: Draft, day: Day, firm: Container[int]) -> Draft:
    """What starts on other days, or is firm."""
    return Draft(
        tuple(
            run
            for run in draft.runs
            if not day.open <= run.start <= day.close or any(c.lot in firm for c in run.charges)
        )
    )


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
