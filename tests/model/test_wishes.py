"""The solver beside wishes: what is pinned counts before all that is not."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.wish import Wish
from scheduler.expand import expanded
from scheduler.model.build import build_model
from scheduler.model.objective import add_objective
from scheduler.model.solve import Effort, solved
from scheduler.prepare import problem
from scheduler.problem import Draft
from scheduler.whiteboard import filled
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.worth import value, worth
from tests import tiny
from tests.tiny import Lot, Tiny

ONE_OF_TWO = tiny.asked(
    Tiny(
        (Lot(4, 16, 34, "G1", splits=False), Lot(2, 16, 30, "G2", drying=30, splits=False)),
        dryers=(4,),
        shift=24,
        tables=3,
    )
)
WEEK = replace(ONE_OF_TWO, wishes=(Wish(1, "pin", "N1", "D0"),))


def _filled(order: list[int]) -> Draft:
    week = problem(WEEK)
    return filled(week, Calendars(week), order)


def test_a_pinned_lot_outweighs_a_larger_one():
    week, larger, pinned = problem(WEEK), _filled([0, 1]), _filled([1, 0])
    assert worth(week, larger) > worth(week, pinned)
    assert value(week, pinned) > value(week, larger)


def test_the_solver_places_the_pinned_lot_and_not_the_larger():
    week = problem(WEEK)
    lots = list(week.lots)
    sizes = {lot.index: sorted(lot.sizes) for lot in lots}
    build = build_model(week, Board(week, Calendars(week)), lots, sizes)
    add_objective(build)
    found = solved(build, Effort(5.0, 1.0, 1))
    assert found is not None
    assert [each.note_id for each in expanded(WEEK, week, found).waiting] == ["N0"]
