"""A model of what is free beside what is kept, and the draft that its answer stands for."""

from __future__ import annotations

from dataclasses import replace

from ortools.sat.python import cp_model

from scheduler.model import charges, climate, people, runs, stream
from scheduler.model.parts import Build, Charge, Slot
from scheduler.problem import Draft, DraftCharge, DraftRun, Lot, Problem
from scheduler.whiteboard.board import Board


def build_model(
    problem: Problem, board: Board, lots: list[Lot], sizes: dict[int, list[int]]
) -> Build:
    """The model in which the given lots are free and everything on the board is kept."""
    build = Build(problem, board, cp_model.CpModel())
    runs.add_slots(build, lots)
    charges.add_charges(build, lots, sizes)
    climate.add_climate(build)
    stream.add_stream(build)
    people.add_after_dryer(build)
    people.add_pairs(build)
    people.add_hands(build)
    people.add_power(build)
    return build


def draft_of(build: Build, value: cp_model.CpSolver) -> Draft:
    """The kept runs and the chosen ones, together."""
    found: dict[int, list[DraftRun]] = {}
    washes: list[tuple[int, int, int]] = []
    for slot in build.slots:
        run = _run(build, slot, value)
        if run is not None:
            found.setdefault(slot.dryer.index, []).append(run)
            if slot.wash_before is not None and value.boolean_value(slot.wash_before[0]):
                washes.append((slot.dryer.index, run.start, value.value(slot.wash_before[1])))
    for after, whether, at in build.closing:
        if value.boolean_value(whether):
            washes.append((after.dryer, after.start, value.value(at)))
    for dryer, start, when in washes:
        _wash_before(found[dryer], start, when)
    return Draft(
        tuple(run for dryer in sorted(found) for run in sorted(found[dryer], key=lambda r: r.start))
    )


def _wash_before(runs_of_dryer: list[DraftRun], start: int, when: int) -> None:
    """Give the run before that start its wash-down."""
    before = max(
        (run for run in runs_of_dryer if run.start < start), key=lambda run: run.start, default=None
    )
    if before is not None:
        runs_of_dryer[runs_of_dryer.index(before)] = replace(before, wash_down=when)


def _run(build: Build, slot: Slot, value: cp_model.CpSolver) -> DraftRun | None:
    if slot.kept is None and not value.boolean_value(slot.present):
        return None
    own = tuple(
        _charge(charge, value) for charge, inside in slot.charges if value.boolean_value(inside)
    )
    if slot.kept is not None:
        kept = slot.kept
        if slot.after:
            kept = _moved_after(kept, slot, value)
        return replace(kept, charges=(*kept.charges, *own))
    return DraftRun(
        slot.dryer.index,
        value.value(slot.start),
        value.value(slot.drying),
        value.value(slot.unload),
        None,
        own,
    )


def _moved_after(kept: DraftRun, slot: Slot, value: cp_model.CpSolver) -> DraftRun:
    """A kept run with its unloading, dry checks and packing as they are now."""
    charges = tuple(
        replace(each.charge, check=value.value(each.check), pack=value.value(each.pack))
        for each in slot.after
    )
    return replace(kept, unload=value.value(slot.unload), charges=charges)


def _charge(charge: Charge, value: cp_model.CpSolver) -> DraftCharge:
    recipe = next(recipe for recipe, literal in charge.options if value.boolean_value(literal))
    at = {
        name: 0 if variable is None else int(value.value(variable))
        for name, variable in (
            ("wash", charge.wash),
            ("cut", charge.cut),
            ("steam", charge.steam),
            ("check", charge.check),
            ("pack", charge.pack),
        )
    }
    attends = charge.pair_attends is not None and value.boolean_value(charge.pair_attends)
    return DraftCharge(charge.lot.index, recipe, pair_attends=bool(attends), **at)
