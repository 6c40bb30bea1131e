"""A known draft as a complete hint: its main decisions first, the rest completed by the solver."""

from __future__ import annotations

from ortools.sat.python import cp_model

from scheduler.model.parts import Build, Charge, Expression, Slot
from scheduler.model.solve import Effort, solver_for
from scheduler.problem import Draft, DraftCharge, DraftRun


def hint(build: Build, draft: Draft, effort: Effort) -> bool:
    """Hint every variable with the draft; False (and no hint at all) where the model does not
    hold it."""
    model = build.model
    model.clear_hints()  # type: ignore[no-untyped-call] # the solver's own, unannotated
    _Hinted(build, draft).add()
    solver = solver_for(effort)
    solver.parameters.fix_variables_to_their_hinted_value = True
    status = solver.solve(model)
    model.clear_hints()  # type: ignore[no-untyped-call] # the solver's own, unannotated
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return False
    for index, value in enumerate(solver.response_proto.solution):
        model.proto.solution_hint.vars.append(index)
        model.proto.solution_hint.values.append(value)
    return True


class _Hinted:
    def __init__(self, build: Build, draft: Draft) -> None:
        self.build, self.draft = build, draft
        self.kept = {
            (run.dryer, run.start, each.lot)
            for runs in build.board.runs
            for run in runs
            for each in run.charges
        }
        self.slots = self._matched()

    def add(self) -> None:
        now = {run.key: run for run in self.draft.runs}
        for slot in self.build.slots:
            if slot.kept is None:
                self._slot(slot, self.slots.get(id(slot)))
            elif slot.after:
                self._after(slot, now[slot.kept.key])
        for charge in self.build.charges:
            self._charge(charge)

    def _matched(self) -> dict[int, DraftRun]:
        """The draft's runs that are not kept, each on a slot between the same kept runs."""
        found: dict[int, DraftRun] = {}
        kept = {(slot.dryer.index, slot.kept.start) for slot in self.build.slots if slot.kept}
        for run in self.draft.runs:
            if (run.dryer, run.start) in kept:
                continue
            for slot in self._between(run):
                if id(slot) not in found:
                    found[id(slot)] = run
                    break
        return found

    def _between(self, run: DraftRun) -> list[Slot]:
        passed, fitting = True, list[Slot]()
        for slot in (each for each in self.build.slots if each.dryer.index == run.dryer):
            if slot.kept is not None:
                passed = slot.kept.start < run.start
                if passed:
                    fitting = []
                elif fitting:
                    break
            elif passed and self._on_day(slot, run):
                fitting.append(slot)
        return fitting

    def _on_day(self, slot: Slot, run: DraftRun) -> bool:
        day = self.build.problem.days[slot.day]
        return day.open <= run.start <= day.close

    def _set(self, variable: Expression | None, value: int) -> None:
        if isinstance(variable, cp_model.IntVar) and variable is not self.build.nought:
            self.build.model.add_hint(variable, value)

    def _slot(self, slot: Slot, run: DraftRun | None) -> None:
        self._set(slot.present, run is not None)
        for drying, literal in slot.dryings.items():
            self._set(literal, run is not None and run.drying == drying)
        group = None
        if run is not None:
            self._set(slot.start, run.start)
            self._set(slot.unload, run.unload)
            group = self.build.problem.lots[run.charges[0].lot].group
        for each, literal in slot.groups.items():
            self._set(literal, each == group)

    def _after(self, slot: Slot, run: DraftRun) -> None:
        self._set(slot.unload, run.unload)
        made = {charge.lot: charge for charge in run.charges}
        for each in slot.after:
            self._set(each.check, made[each.charge.lot].check)
            self._set(each.pack, made[each.charge.lot].pack)

    def _charge(self, charge: Charge) -> None:
        own = [
            (run, each)
            for run in sorted(self.draft.runs, key=lambda each: (each.start, each.dryer))
            for each in run.charges
            if each.lot == charge.lot.index and (run.dryer, run.start, each.lot) not in self.kept
        ]
        run, made = own[charge.number] if charge.number < len(own) else (None, None)
        self._set(charge.present, made is not None)
        chosen = None if made is None else _option(charge, made, len(own))
        for place, (_, literal) in enumerate(charge.options):
            self._set(literal, place == chosen)
        for slot, literal in charge.slots:
            self._set(literal, run is not None and self._is(slot, run))
        if run is not None and made is not None:
            self._times(charge, run, made)

    def _is(self, slot: Slot, run: DraftRun) -> bool:
        if slot.kept is not None:
            return slot.kept.dryer == run.dryer and slot.kept.start == run.start
        return self.slots.get(id(slot)) is run

    def _times(self, charge: Charge, run: DraftRun, made: DraftCharge) -> None:
        self._set(charge.start, run.start)
        self._set(charge.wash, made.wash)
        self._set(charge.cut, made.cut)
        self._set(charge.steam, made.steam)
        self._set(charge.pair_attends, made.pair_attends)
        self._set(charge.check, made.check)
        self._set(charge.pack, made.pack)


def _option(charge: Charge, made: DraftCharge, parts: int) -> int | None:
    """Which of its options a charge has; equal parts may be alike in halves and in thirds."""
    if charge.lot.parts:
        return parts - 1 - charge.number
    recipes = [recipe for recipe, _ in charge.options]
    return recipes.index(made.recipe) if made.recipe in recipes else None
