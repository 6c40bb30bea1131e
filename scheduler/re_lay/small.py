"""The small change: only what cannot stay is taken off, and put back where it suits best."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from random import Random

from scheduler.expand import can_be_placed
from scheduler.model.climb import Budget, Climber
from scheduler.model.solve import Effort
from scheduler.model.stay import stays
from scheduler.problem import Draft, Lot, Problem
from scheduler.re_lay.week import Week
from scheduler.whiteboard import soonest
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.place import Placing, Taste, place_lot
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import value, worth

A_TURN = Effort(seconds=1.0, work=1.0)  # to learn whether a short-notice turn can stay


@dataclass(frozen=True, slots=True)
class Small:
    """problem: what can stay is firm in it. draft: the best found so far."""

    problem: Problem
    draft: Draft

    @property
    def value(self) -> int:
        return value(self.problem, self.draft)


def by_hand(week: Week) -> Small:
    """What can stay, turns of short notice at their old times if any dryer takes them, and the rest
    lot by lot in a few orders."""
    begun = Board.begun(week.whole, Calendars(week.whole)).draft()
    problem = week.held(week.whole, worth(week.whole, begun))
    ruin = Ruin(problem, Random(0))
    board = ruin.rebuilt(_with_short_notice(week, problem, ruin, begun), set())
    placed = board.draft().racks_of(len(problem.lots))
    left = [lot for lot in ruin.lots if not placed[lot.index]]
    drafts = [board.draft(), *(filled(problem, board, order) for order in _orders(left))]
    return Small(problem, max(drafts, key=partial(value, problem)))


def improved(small: Small, budget: Budget, seed: int) -> Small:
    """The same after a round of climbing, in this process."""
    if not Ruin(small.problem, Random(0)).lots:
        return small
    climber = Climber(small.problem, seed)
    found = climber.round(small.draft, budget, lambda *_: None)
    return Small(small.problem, max(small.draft, found, key=partial(value, small.problem)))


def _with_short_notice(week: Week, problem: Problem, ruin: Ruin, draft: Draft) -> Draft:
    """Beside what stays, each such turn in its order at its old time, where the solver finds room
    for it."""
    notes = [each for each in week.lost if week.short_of(each)]
    for note_id in sorted(notes, key=lambda each: week.turns[each, "bringing"][0]):
        lot = problem.lots[week.index[note_id]]
        starts = [turn.at for turn in week.home.bringing.get(lot.index, ()) if turn.flat]
        if lot.sizes and starts:
            board = ruin.rebuilt(draft, set())
            found = stays(problem, board, lot, starts, A_TURN)
            if isinstance(found, Draft) and can_be_placed(problem, found):
                draft = found
    return draft


def _orders(lots: list[Lot]) -> Iterable[list[Lot]]:
    yield lots
    yield sorted(lots, key=lambda lot: lot.latest)
    yield sorted(lots, key=lambda lot: -lot.prepared_g)


def filled(problem: Problem, board: Board, order: list[Lot]) -> Draft:
    """The board with lots put back in that order, each as near as may be to where it was, or as
    soon as may be, or not at all."""
    for lot in order:
        twins = (place_lot(board.copy(), lot, Taste(cost)) for cost in (_nearest, soonest))
        fitting = [each for each in twins if can_be_placed(problem, each.draft())]
        board = max([board, *fitting], key=lambda each: value(problem, each.draft()))
    return board.draft()


def _nearest(board: Board, placing: Placing) -> float:
    """A turn as near as may be to where it was."""
    home = board.problem.home
    turns = home.bringing.get(placing.lot.index, ()) if home else ()
    at = placing.run.start if board.problem.rules.easier else placing.charge.wash
    return min((abs(at - turn.at) for turn in turns), default=soonest(board, placing))
