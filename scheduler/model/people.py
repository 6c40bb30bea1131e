"""Rules 11, 12, 13 and 17: hands, growers' pairs, power, and what follows the dryer."""

from __future__ import annotations

from dataclasses import dataclass

from ortools.sat.python import cp_model

from scheduler.model.parts import After, Build, Charge, Expression, Literal, Slot, stretches
from scheduler.problem import DraftCharge, Lot
from scheduler.whiteboard.masks import Profile, lasting, span


@dataclass(frozen=True, slots=True)
class _Out:
    """When a charge is out of its dryer, the first and the last tick for it, and how long it is
    packed."""

    at: Expression
    first: int
    last: int
    pack: Expression


def add_after_dryer(build: Build) -> None:
    """Rule 17: dry check and packing turn of every free charge."""
    problem = build.problem
    if not problem.rules.packing:
        return
    packing = [
        _check_and_pack_again(build, slot, charge)
        for slot in build.slots
        if slot.kept is not None and slot.kept.key in build.board.loose
        for charge in slot.kept.charges
    ]
    for charge in build.charges:
        _check_and_pack(build, charge)
        packing.append(
            build.interval(charge.pack, build.total(charge, "pack"), charge.present, "packing")
        )
        build.pair_tasks.setdefault(charge.lot.grower, []).append(packing[-1])
    kept = Profile(build.board.calendars.everywhere)
    for used in build.board.benches:
        kept.add(used, 1)
    fixed = [
        (build.model.new_fixed_size_interval_var(first, after - first, "kept"), amount)
        for amount, mask in kept.levels.items()
        if amount
        for first, after in stretches(mask)
    ]
    if packing:
        build.model.add_cumulative(
            packing + [each for each, _ in fixed],
            [1] * len(packing) + [amount for _, amount in fixed],
            problem.benches,
        )


def _check_and_pack(build: Build, charge: Charge) -> None:
    model, lot = build.model, charge.lot
    name = f"{lot.note_id}.{charge.number}"
    out = [slot.out for slot, _ in charge.slots]
    first, last = min(first for first, _ in out), max(last for _, last in out)
    unloaded = model.new_int_var(first, last, f"{name} unloaded")
    for slot, inside in charge.slots:
        model.add(unloaded == slot.unloaded).only_enforce_if(inside)
    dried = _Out(unloaded, first, last, build.total(charge, "pack"))
    charge.check, charge.pack = _after(build, lot, dried, charge.present, name)


def _check_and_pack_again(build: Build, slot: Slot, made: DraftCharge) -> cp_model.IntervalVar:
    """The dry check and the packing of a kept charge, open again; its packing."""
    lot, pack = build.problem.lots[made.lot], made.recipe.pack
    name = f"{lot.note_id} at {made.cut}"
    check, packed = _after(build, lot, _Out(slot.unloaded, *slot.out, pack), slot.present, name)
    slot.after.append(After(made, check, packed))
    packing = build.interval(packed, pack, None, name)
    build.pair_tasks.setdefault(lot.grower, []).append(packing)
    return packing


def _after(
    build: Build, lot: Lot, out: _Out, present: Literal, name: str
) -> tuple[Literal, Literal]:
    """The starts of the dry check, by one hand, and of packing."""
    problem, model = build.problem, build.model
    checked = span(out.first + problem.check_after, out.last + lot.pack_within)
    packed = span(out.first + lot.rest, out.last + lot.pack_within)
    check = build.tick(f"{name} check", lasting(problem.staffed, problem.check) & checked or 1)
    pack = build.tick(f"{name} pack", problem.staffed & ~problem.away[lot.grower] & packed or 1)
    model.add(check >= out.at + problem.check_after).only_enforce_if(present)
    model.add(pack >= check + problem.check).only_enforce_if(present)
    model.add(pack >= out.at + lot.rest).only_enforce_if(present)
    model.add(pack + out.pack <= out.at + lot.pack_within).only_enforce_if(present)
    build.hand_tasks.append((build.interval(check, problem.check, present, f"{name} checked"), 1))
    return check, pack


def add_pairs(build: Build) -> None:
    """Rule 12: a grower's pair is in one place at a time, and only when it can come."""
    if build.problem.rules.easier:
        return
    for grower, tasks in build.pair_tasks.items():
        busy = build.board.pairs[grower] | ~build.problem.staffed & build.board.calendars.everywhere
        kept = [
            build.model.new_fixed_size_interval_var(first, after - first, "kept")
            for first, after in stretches(busy)
        ]
        if build.problem.rules.hands:
            build.model.add_no_overlap(tasks + kept)
        else:  # in several places at once, but still only when it can come
            for task in tasks:
                build.model.add_no_overlap([task, *kept])


def add_hands(build: Build) -> None:
    """Rule 12: never more work for kitchen hands than there are on shift and free."""
    problem = build.problem
    if not problem.rules.hands or not build.hand_tasks:
        return
    most = len(problem.hands) - 1
    taken = []
    for missing in range(1, most + 1):
        # at least so many are away or busy: one more block of one hand
        enough = build.board.hands_free(most - missing + 1)
        for first, after in stretches(~enough & build.board.calendars.everywhere):
            taken.append(build.model.new_fixed_size_interval_var(first, after - first, "kept"))
    build.model.add_cumulative(
        [task for task, _ in build.hand_tasks] + taken,
        [wanted for _, wanted in build.hand_tasks] + [1] * len(taken),
        most,
    )


def add_power(build: Build) -> None:
    """Rule 13, at every tick (a little stricter than the mean of a quarter-hour)."""
    problem = build.problem
    if not problem.rules.power or not build.watt_tasks:
        return
    fixed = [
        (build.model.new_fixed_size_interval_var(first, after - first, "kept"), amount)
        for amount, mask in build.board.watts.levels.items()
        if amount
        for first, after in stretches(mask)
    ]
    build.model.add_cumulative(
        [task for task, _ in build.watt_tasks] + [task for task, _ in fixed],
        [watts for _, watts in build.watt_tasks] + [amount for _, amount in fixed],
        problem.supply_watts,
    )
