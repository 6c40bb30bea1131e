"""Wash-downs beside a stop of the dryer, in the solver's model."""

from dataclasses import replace

from scheduler.model.build import build_model
from scheduler.model.objective import add_objective
from scheduler.model.solve import Effort, solved
from scheduler.prepare import problem
from scheduler.problem import Problem
from scheduler.units import GRID
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from tests import tiny

OUT, WASHED = 24, 26  # slots of Monday: the soonest
WEDNESDAY = 2 * tiny.DAY


def placed(week: Problem, stopped: int, back: int) -> int:
    """Lots that have a place on a dryer that stops in these slots."""
    down = (stopped * tiny.SLOT_S // GRID, back * tiny.SLOT_S // GRID)
    asked = replace(week, dryers=(replace(week.dryers[0], down=(down,)),))
    sizes = {lot.index: sorted(lot.sizes) for lot in asked.lots}
    build = build_model(asked, Board(asked, Calendars(asked)), list(asked.lots), sizes)
    add_objective(build)
    found = solved(build, Effort(seconds=60, work=5))
    assert found is not None
    return len({charge.lot for run in found.runs for charge in run.charges})


def test_a_dryer_is_washed_down_before_it_stops_or_has_no_run_before_that() -> None:
    """Strong on Monday, mild on Wednesday. A wash-down after the stop would leave Monday's run, or
    what it left behind, in a dryer that is to be free."""
    strong = tiny.Lot(1, tiny.OPENS, tiny.OPENS + 4, group="strong", drying=4)
    mild = tiny.Lot(1, WEDNESDAY + tiny.OPENS, WEDNESDAY + tiny.OPENS + 8, drying=4)
    week = problem(tiny.asked(tiny.Tiny((strong, mild), dryers=(1,), shift=20)))
    for stopped in range(OUT - 1, WASHED + 3):
        assert placed(week, stopped, WEDNESDAY) == (2 if stopped >= WASHED else 1)
