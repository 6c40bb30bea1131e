"""The goals after the first: a day's runs set anew without a gram less, one goal after another.

Each goal is proved, or improved as far as the effort goes, with those before it held where they
are: keeping time, then what the dryers draw, then early packing, in the members' order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ortools.sat.python import cp_model

from scheduler.merit import drawn, waited
from scheduler.model.build import build_model, draft_of
from scheduler.model.hint import hint
from scheduler.model.parts import Build, Charge, Expression
from scheduler.model.solve import Effort, solver_for
from scheduler.problem import Day, Draft, DraftCharge, DraftRun, Problem
from scheduler.whiteboard.ruin import Ruin


@dataclass(frozen=True, slots=True)
class Settling:
    """Sets days of drafts of one problem."""

    problem: Problem
    ruin: Ruin

    def days(self) -> list[Day]:
        """Those on which runs may start; none in a mend, where turns stay where they are."""
        return [] if self.problem.home else [day for day in self.problem.days if day.plans]

    def settled(self, draft: Draft, day: Day, effort: Effort) -> Draft | None:
        """The draft with the runs that start on a day set anew, every charge as large as it was;
        effort: for each goal. None where nothing is free that day or it could not be put into the
        model."""
        firm = self.problem.firm.lots
        free = {
            charge.lot
            for run in draft.runs
            if day.open <= run.start <= day.close
            for charge in run.charges
            if charge.lot not in firm
        }
        if not free:
            return None
        board = self.ruin.rebuilt(draft, set(free))
        own = _own(draft, board.draft())
        lots = [lot for lot in self.ruin.lots if lot.index in own]
        sizes = {index: sorted({c.recipe.racks for _, c in made}) for index, made in own.items()}
        build = build_model(self.problem, board.loosened([day]), lots, sizes)
        charges = list(_as_large(build, own))
        if not hint(build, draft, effort):
            return None
        return _goal_by_goal(build, charges, effort)


def _own(draft: Draft, kept: Draft) -> dict[int, list[tuple[DraftRun, DraftCharge]]]:
    """By lot, the charges that are set anew, in order of start."""
    stays = {(run.key, charge.lot) for run in kept.runs for charge in run.charges}
    own: dict[int, list[tuple[DraftRun, DraftCharge]]] = defaultdict(list)
    for run in sorted(draft.runs, key=lambda each: (each.start, each.dryer)):
        for charge in run.charges:
            if (run.key, charge.lot) not in stays:
                own[charge.lot].append((run, charge))
    return own


def _as_large(build: Build, own: dict[int, list[tuple[DraftRun, DraftCharge]]]) -> Iterator[Charge]:
    """Only what was there is there, each charge with as many racks as it had; these charges."""
    for charge in build.charges:
        made = own[charge.lot.index]
        if charge.number >= len(made):
            build.model.add(charge.present == 0)
            continue
        racks = made[charge.number][1].recipe.racks
        charge.options[:] = [option for option in charge.options if option[0].racks == racks]
        build.model.add_exactly_one(literal for _, literal in charge.options)
        yield charge


def _goal_by_goal(build: Build, charges: list[Charge], effort: Effort) -> Draft | None:
    found = None
    for goal in build.problem.goals:
        cost = sum(_COSTS[goal](build, charges)) if goal in _COSTS else 0
        if isinstance(cost, int):
            continue
        build.model.minimize(cost)
        solver = solver_for(effort)
        if solver.solve(build.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return found
        found = draft_of(build, solver)
        build.model.add(cost <= round(solver.objective_value))
        _hint_again(build, solver)
    return found


def _hint_again(build: Build, solver: cp_model.CpSolver) -> None:
    """What was found is where the next goal begins."""
    values = list(solver.response_proto.solution)
    build.model.clear_hints()  # type: ignore[no-untyped-call] # the solver's own, unannotated
    build.model.proto.solution_hint.vars.extend(range(len(values)))
    build.model.proto.solution_hint.values.extend(values)


def _keeping(_: Build, charges: list[Charge]) -> Iterator[Expression]:
    for charge in charges:
        racks = charge.options[0][0].racks
        yield waited(charge.lot, racks) * charge.start


def _spend(build: Build, _: list[Charge]) -> Iterator[Expression]:
    for slot in build.slots:
        if slot.kept is None:
            for drying, literal in slot.dryings.items():
                yield drawn(slot.dryer, drying) * literal


def _calm(build: Build, charges: list[Charge]) -> Iterator[Expression]:
    for charge in charges:
        if charge.pack is not build.nought:
            yield charge.pack


_COSTS: dict[str, Callable[[Build, list[Charge]], Iterator[Expression]]] = {
    "keeping": _keeping,
    "spend": _spend,
    "calm": _calm,
}
