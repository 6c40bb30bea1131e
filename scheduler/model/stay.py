"""Lots put back with their turns at their old times, in whatever dryers, where the solver can."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ortools.sat.python import cp_model

from scheduler.model.build import build_model, draft_of
from scheduler.model.objective import add_objective
from scheduler.model.parts import Build, Charge
from scheduler.model.solve import Effort, solved, solver_for
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
        build.model.add(_brought(build, charge) == start)
    _no_more(build, build.charges[len(starts) :])
    add_objective(build)
    solver = solver_for(effort)
    status = solver.solve(build.model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return draft_of(build, solver)
    return status != cp_model.INFEASIBLE


def most_stay(problem: Problem, board: Board, lots: list[Lot], effort: Effort) -> Draft | None:
    """A draft of the board and of these lots' bringing turns alone, as many of them as may be at
    their old times, those that weigh most first; then as many racks as fit. None where the solver
    does not prove that no more can stay."""
    build = build_model(problem, board, lots, {lot.index: sorted(lot.sizes) for lot in lots})
    weights = _all_or_nothing(build)
    build.model.maximize(sum(weight * charge.present for charge, weight in weights))
    solver = solver_for(effort)
    if solver.solve(build.model) != cp_model.OPTIMAL:
        return None
    found = draft_of(build, solver)
    for charge, _ in weights:
        build.model.add(charge.present == int(solver.boolean_value(charge.present)))
    add_objective(build)
    return solved(build, effort) or found


def _all_or_nothing(build: Build) -> list[tuple[Charge, int]]:
    """Each charge that had a turn of short notice at its old time, or absent, with what that turn
    weighs; no others."""
    assert build.problem.home
    weights, others = [], []
    for charge in build.charges:
        turns = build.problem.home.bringing.get(charge.lot.index, ())
        if charge.number < len(turns) and turns[charge.number].flat:
            turn = turns[charge.number]
            build.model.add(_brought(build, charge) == turn.at).only_enforce_if(charge.present)
            weights.append((charge, turn.whole))
        else:
            others.append(charge)
    _no_more(build, others)
    return weights


def _no_more(build: Build, charges: Iterable[Charge]) -> None:
    """None of these; under the easier rules a lot's parts belong together, so there they may be
    whenever they fit."""
    for charge in charges:
        if not charge.lot.parts:
            build.model.add(charge.present == 0)


def _brought(build: Build, charge: Charge) -> cp_model.IntVar:
    """When it is brought: at the start of washing, or of its run under the easier rules."""
    return charge.start if build.problem.rules.easier else charge.wash
