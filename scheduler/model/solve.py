"""One call of the solver: limits in, draft out."""

from __future__ import annotations

from dataclasses import dataclass

from ortools.sat.python import cp_model

from scheduler.model.build import draft_of
from scheduler.model.parts import Build
from scheduler.problem import Draft


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to try: seconds of the clock or of the solver's own repeatable measure, whichever ends first."""

    seconds: float
    work: float | None
    seed: int
    workers: int = 1


def solved(build: Build, effort: Effort, *, hint: bool = False, log: bool = False):
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = effort.seconds
    if effort.work is not None:
        solver.parameters.max_deterministic_time = effort.work
    solver.parameters.random_seed = effort.seed
    solver.parameters.num_workers = effort.workers
    solver.parameters.linearization_level = 1
    solver.parameters.log_search_progress = log
    status = solver.solve(build.model)
    name = solver.status_name(status)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return draft_of(build, solver), name, solver
    return None, name, solver
