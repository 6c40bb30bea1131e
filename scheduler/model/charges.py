"""Rules 4, 5 and 14: which run takes how much of which lot."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from scheduler.model.parts import Build, Charge, Literal, Slot, domain
from scheduler.problem import Lot, Recipe
from scheduler.whiteboard.masks import block, span


def add_charges(build: Build, lots: Iterable[Lot], sizes: dict[int, list[int]]) -> None:
    """The charges that each free lot may have, their sizes and their runs."""
    for lot in lots:
        if lot.parts:
            _equal_parts(build, lot)
        else:
            _pieces(build, lot, sizes[lot.index])
    for slot in build.slots:
        _fill(build, slot)


def _pieces(build: Build, lot: Lot, sizes: list[int]) -> None:
    charges = []
    for number in range(lot.most_charges):
        recipes = [recipe for size in sizes for recipe in lot.sizes.get(size, ())]
        charge = _charge(build, lot, number, recipes)
        if charge is None:
            return
        charges.append(charge)
    build.model.add(sum(build.total(charge, "racks") for charge in charges) <= lot.racks)
    for first, then in pairwise(charges):
        build.model.add_implication(then.present, first.present)
        build.model.add(then.start >= first.start).only_enforce_if(then.present)


def _equal_parts(build: Build, lot: Lot) -> None:
    """Easier rules: whole, or two or three equal parts; all of them or none."""
    model = build.model
    in_parts = [build.boolean(f"{lot.note_id} in {count + 1}") for count in range(len(lot.parts))]
    model.add_at_most_one(in_parts)
    for number in range(len(lot.parts)):
        recipes = [lot.sizes[lot.parts[count]][0] for count in range(number, len(lot.parts))]
        charge = _charge(build, lot, number, recipes)
        if charge is None:
            model.add(sum(in_parts[number:]) == 0)
            return
        model.add(charge.present == sum(in_parts[number:]))
        for (_, literal), count in zip(charge.options, range(number, len(lot.parts)), strict=True):
            model.add(literal == in_parts[count])
        if number:
            model.add(charge.start >= build.charges[-2].start).only_enforce_if(charge.present)


def _charge(build: Build, lot: Lot, number: int, recipes: list[Recipe]) -> Charge | None:
    name = f"{lot.note_id}.{number}"
    smallest = min((recipe.racks for recipe in recipes), default=0)
    slots = [slot for slot in build.slots if smallest and _may_hold(build, slot, lot, smallest)]
    if not slots:
        return None
    model = build.model
    present = build.boolean(name)
    options = [(recipe, build.boolean(f"{name} {recipe.racks}")) for recipe in recipes]
    model.add(sum(literal for _, literal in options) == present)
    start = build.tick(f"{name} start", _starts(build, lot, slots))
    nought = build.nought
    times = (nought, nought, nought, nought, nought)
    charge = Charge(lot, number, present, options, start, *times)
    inside: list[Literal] = []
    for slot in slots:
        literal = build.boolean(f"{name} in {slot.dryer.id}")
        model.add(start == slot.start).only_enforce_if(literal)
        model.add_implication(literal, slot.present)
        if slot.kept is None and lot.where:
            wished = domain(lot.starts_on(slot.dryer.index) & _day_starts(build, slot))
            model.add_linear_expression_in_domain(start, wished).only_enforce_if(literal)
        charge.slots.append((slot, literal))
        slot.charges.append((charge, literal))
        inside.append(literal)
    model.add(sum(inside) == present)
    build.charges.append(charge)
    return charge


def _may_hold(build: Build, slot: Slot, lot: Lot, racks: int) -> bool:
    dryer = slot.dryer
    if dryer.index not in lot.dryers or racks > slot.free_racks or lot.group not in slot.groups:
        return False
    if slot.kept is None:
        longest = max(slot.dryings)  # a shorter lot may join, even where it could not run by itself
        wished = lot.starts_on(dryer.index) & _day_starts(build, slot)
        return bool(wished & span(lot.earliest, lot.latest)) and lot.drying <= longest
    run, (coolest, hottest) = slot.kept, build.problem.climate(slot.kept)
    return (
        lot.index not in [each.lot for each in run.charges]
        and lot.drying <= run.drying
        and lot.earliest <= run.start <= lot.latest
        and lot.may_start(*run.key)
        and max(coolest, lot.coolest) <= min(hottest, lot.hottest)
    )


def _starts(build: Build, lot: Lot, slots: list[Slot]) -> int:
    """Mask of the ticks at which a run that takes of the lot may start."""
    starts = 0
    for slot in slots:
        starts |= _day_starts(build, slot) if slot.kept is None else block(slot.kept.start, 1)
    return starts & span(lot.earliest, lot.latest)


def _day_starts(build: Build, slot: Slot) -> int:
    """Mask of the ticks of a slot's day at which a run may start."""
    day = build.problem.days[slot.day]
    return span(day.open, day.close)


def _fill(build: Build, slot: Slot) -> None:
    """Rule 5: the racks of a run's charges fill the dryer at most."""
    loads = []
    for charge, inside in slot.charges:
        fixed = {recipe.racks for recipe, _ in charge.options}
        if len(fixed) == 1:
            loads.append(fixed.pop() * inside)
            continue
        most = max(fixed)
        racks = build.model.new_int_var(0, most, "racks")
        build.model.add(racks >= build.total(charge, "racks") - most * (1 - inside))
        build.model.add(racks >= min(fixed) * inside)
        build.model.add(racks <= most * inside)
        loads.append(racks)
    if loads:
        build.model.add(sum(loads) <= slot.free_racks * slot.present)
