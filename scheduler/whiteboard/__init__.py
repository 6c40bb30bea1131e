"""The whiteboard plan: what a careful person makes by hand under the same rules.

Baseline and first plan.
"""

from __future__ import annotations

from scheduler.expand import can_be_placed
from scheduler.problem import Draft, Problem
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.place import Placing, Taste, place_lot
from scheduler.worth import value

__all__ = ["whiteboard"]


def whiteboard(problem: Problem) -> Draft:
    """The better of two ways to fill the week by hand: in order of call, and least keeping
    first; what is pinned before all others."""
    calendars = Calendars(problem)
    in_order_of_call = [index for index in problem.order if index not in problem.firm.lots]
    least_keeping_first = sorted(in_order_of_call, key=lambda index: problem.lots[index].latest)
    drafts = [
        filled(problem, calendars, sorted(order, key=lambda index: not problem.lots[index].pinned))
        for order in (in_order_of_call, least_keeping_first)
    ]
    return max(drafts, key=lambda draft: value(problem, draft))


def filled(problem: Problem, calendars: Calendars, order: list[int]) -> Draft:
    """A board with what is firm on it filled lot by lot in that order, each where it can start
    soonest."""
    board = Board.begun(problem, calendars)
    for index in order:
        twin = place_lot(board.copy(), problem.lots[index], Taste(soonest))
        if can_be_placed(problem, twin.draft()):
            board = twin
    return board.draft()


def soonest(board: Board, placing: Placing) -> float:
    """A careful person's choice: share a run where that wastes nothing, else start soon on a
    dryer that suits."""
    dryer = board.problem.dryers[placing.run.dryer]
    empty = 0 if placing.joins else dryer.racks - placing.size
    return placing.run.start - 2 * placing.size + 0.5 * empty
