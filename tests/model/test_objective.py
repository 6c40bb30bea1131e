"""What the solver is asked for: in a mend, turns that stay where they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest

from scheduler.home import Home, Turn
from scheduler.model.build import build_model, draft_of
from scheduler.model.objective import add_objective
from scheduler.model.parts import Build
from scheduler.model.solve import Effort, solved, solver_for
from scheduler.prepare import problem
from scheduler.problem import Draft, Problem
from scheduler.scenario import load
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import begins

EFFORT = Effort(seconds=60, work=2.0)


def packed(week: Problem, draft: Draft, ask: Callable[[Build], None]) -> Draft:
    """The draft with the packing of all its charges open, as it is asked for."""
    board = Board(week, Calendars(week))
    for run in draft.runs:
        board.add_run(run)
    build = build_model(week, board.loosened(week.days), [], {})
    ask(build)
    solver = solver_for(EFFORT)
    solver.solve(build.model)
    return draft_of(build, solver)


def as_late_as_can_be(build: Build) -> None:
    build.model.maximize(sum(each.pack for slot in build.slots for each in slot.after))


@pytest.mark.parametrize("mending", [True, False])
def test_packing_of_what_is_kept_stays_where_it_was_in_a_mend(mending: bool):
    week = problem(load("spring_day"))
    late = packed(week, whiteboard(week), as_late_as_can_be)
    was = begins(week, late).packing
    home = Home(packing={lot: [Turn(at, 1000) for at in own] for lot, own in was.items()})
    found = packed(replace(week, home=home) if mending else week, late, add_objective)
    now = begins(week, found).packing
    assert (now == was) is mending


def test_a_later_day_of_a_charge_stays_when_it_was_in_a_mend():
    week = problem(load("august"))
    draft = whiteboard(week)
    index, was = next(each for each in begins(week, draft).returning.items() if len(each[1]) == 1)
    board = Ruin(week, Random(0)).rebuilt(draft, {index})
    sizes = {c.recipe.racks for run in draft.runs for c in run.charges if c.lot == index}
    home = Home(returning={index: [Turn(was[0], 1000)]})
    mend = replace(week, home=home)
    build = build_model(mend, board, [week.lots[index]], {index: sorted(sizes)})
    add_objective(build)
    found = solved(build, EFFORT)
    assert found
    assert begins(week, found).returning[index] == was
