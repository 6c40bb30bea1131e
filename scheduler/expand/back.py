"""From a plan back to the draft that it was expanded from: the exact inverse of expanding."""

from __future__ import annotations

from datetime import timedelta

from scheduler.domain.plan import Charge, Plan, Preparation, Run
from scheduler.errors import StalePlan
from scheduler.problem import Draft, DraftCharge, DraftRun, Lot, Problem, Recipe
from scheduler.units import GRID


def draft_of(problem: Problem, plan: Plan) -> Draft:
    """The draft that a plan stands for, so that expanding it gives the same runs and duties.

    problem: of the week as it was when the plan was made; notes may have come since. StalePlan
    where a dryer, a note, a time or a way to prepare a charge is not the problem's.
    """
    back = Back(problem, plan)
    return Draft(tuple(sorted(map(back.run, plan.runs), key=lambda run: (run.dryer, run.start))))


class Back:
    """A plan's runs and charges as the problem's; StalePlan as in draft_of."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.lots = {lot.note_id: lot for lot in problem.lots}
        self.dryers = {dryer.id: dryer.index for dryer in problem.dryers}
        self.steamers = {
            steamer_id: kind
            for kind, alike in enumerate(problem.steamer_kinds)
            for steamer_id in alike.ids
        }
        self.kinds = {
            table_id: kind
            for kind, alike in enumerate(problem.table_kinds)
            for table_id in alike.ids
        }
        self.minding = {(duty.who, duty.subject) for duty in plan.duties if duty.work == "steam"}

    def run(self, run: Run) -> DraftRun:
        if run.dryer_id not in self.dryers:
            raise StalePlan(f"the kitchen has no dryer {run.dryer_id}")
        start = self.problem.tick(run.start)
        return DraftRun(
            dryer=self.dryers[run.dryer_id],
            start=start,
            drying=self.problem.tick(run.end) - start,
            unload=self.problem.tick(run.unload.start if run.unload else run.released),
            wash_down=None if run.wash_down is None else self.problem.tick(run.wash_down.start),
            charges=tuple(map(self.charge, run.charges)),
        )

    def charge(self, charge: Charge) -> DraftCharge:
        lot = self.lots.get(charge.note_id)
        if lot is None:
            raise StalePlan(f"{charge.note_id} does not ask for a place")
        recipe, made, after = self.recipe(lot, charge), charge.preparation, charge.after
        loads = made.steam_loads if made else ()
        return DraftCharge(
            lot=lot.index,
            recipe=recipe,
            wash=self.problem.tick(made.wash.start) if made else 0,
            cut=self.problem.tick(made.cut.start) if made else 0,
            steam=self.problem.tick(loads[0].start) if loads else 0,
            pair_attends=(self.problem.growers[lot.grower], charge.code) in self.minding,
            check=self.problem.tick(after.dry_check.start) if after else 0,
            pack=self.problem.tick(after.packing.start) if after else 0,
        )

    def recipe(self, lot: Lot, charge: Charge) -> Recipe:
        for recipe in lot.sizes.get(charge.racks, ()):
            made = charge.preparation
            if made is None or self._is_made_so(recipe, made):
                return recipe
        raise StalePlan(f"{charge.code} can no longer be prepared as it is planned")

    def _is_made_so(self, recipe: Recipe, made: Preparation) -> bool:
        used = dict.fromkeys(load.steamer_id for load in made.steam_loads)
        return (
            recipe.tables == tuple(self.kinds.get(place.table_id) for place in made.tables)
            and recipe.steamers == tuple(self.steamers.get(each) for each in used)
            and recipe.loads == len(made.steam_loads)
            and self._is_paced_so(recipe, made)
            and (recipe.wash * GRID, recipe.cut * GRID) == (made.wash.seconds, made.cut.seconds)
        )

    def _is_paced_so(self, recipe: Recipe, made: Preparation) -> bool:
        """Whether loads follow each other as they do in the recipe."""
        loads, at_once = made.steam_loads, max(1, len(recipe.steamers))
        if len(loads) <= at_once:
            return True
        return loads[at_once].start - loads[0].start == timedelta(seconds=recipe.cycle_s)
