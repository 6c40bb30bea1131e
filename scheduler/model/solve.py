"""One call of the solver: a built model and limits in, a draft out."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from ortools.sat.python import cp_model

from scheduler.model.build import draft_of
from scheduler.model.parts import Build
from scheduler.problem import Draft


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to try: seconds of the clock, and the solver's own repeatable measure of work."""

    seconds: float
    work: float | None = None
    seed: int = 1
    workers: int = 1


def solver_for(effort: Effort) -> cp_model.CpSolver:
    """A solver with light preparation: neighbourhoods are small, and their hint must not wait.
    Without looking over its clauses again and again, glut's windows were solved in half the
    time."""
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = effort.seconds
    if effort.work is not None:
        solver.parameters.max_deterministic_time = effort.work
    solver.parameters.random_seed = effort.seed
    solver.parameters.num_workers = effort.workers
    solver.parameters.linearization_level = 0
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.max_presolve_iterations = 1
    solver.parameters.use_sat_inprocessing = False
    solver.parameters.catch_sigint_signal = False  # who presses Ctrl-C means the whole search
    return solver


def solve_unless_interrupted(
    solver: cp_model.CpSolver, model: cp_model.CpModel
) -> cp_model.CpSolverStatus:
    """As the solver's own solve, which takes Ctrl-C for the end of its time; here it is raised, at
    once."""
    solver.parameters.catch_sigint_signal = False
    with ThreadPoolExecutor(1) as aside:
        status = aside.submit(solver.solve, model)
        try:
            return status.result()
        except KeyboardInterrupt:
            solver.stop_search()
            raise


def solved(build: Build, effort: Effort) -> Draft | None:
    """The best draft found within the limits; None if there was none."""
    solver = solver_for(effort)
    status = solver.solve(build.model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return draft_of(build, solver)
    return None
