"""A lot put back with its turns at their old times, in whatever dryer, if the solver can."""

from __future__ import annotations

from collections.abc import Sequence

from ortools.sat.python import cp_model

from scheduler.model.build import build_model, draft_of
from scheduler.model.objective import add_objective
from scheduler.model.solve import Effort, solver_for
from scheduler.problem import Draft, Lot, Problem
from scheduler.whiteboard.board import Board


def stays(
    problem: Problem, board: Board, lot: Lot, starts: Sequence[int], effort: Effort
) -> Draft | bool:
    """A draft of the board with a lot brought just when it was, as many racks of it as fit; False
    where the solver proves that there is none, True where it does not know.

    starts: of washing of each charge, in order (of the run under the easier rules).
    """
    sizes = {lot.index: sorted(lot.sizes)}
    build = build_model(problem, board, [lot], sizes)
    if len(build.charges) < len(starts):
        return False
    for charge, start in zip(build.charges, starts, strict=False):
        build.model.add(charge.present == 1)
        build.model.add((charge.start if problem.rules.easier else charge.wash) == start)
    for charge in build.charges[len(starts) :]:
        build.model.add(charge.present == 0)
    add_objective(build)
    solver = solver_for(effort)
    status = solver.solve(build.model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return draft_of(build, solver)
    return status != cp_model.INFEASIBLE
