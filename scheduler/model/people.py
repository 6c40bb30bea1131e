"""Rules 11, 12, 13 and 17: hands, growers' pairs, power, and what follows the dryer."""

from __future__ import annotations

from ortools.sat.python import cp_model

from scheduler.model.parts import After, Build, Charge, Expression, Literal, Slot, stretches
from scheduler.problem import DraftCharge, Lot
from scheduler.whiteboard.masks import Profile, lasting


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
    unloaded = model.new_int_var(0, build.problem.horizon + 300, f"{name} unloaded")
    for slot, inside in charge.slots:
        model.add(unloaded == slot.unloaded).only_enforce_if(inside)
    charge.check, charge.pack = _after(
        build, lot, (unloaded, build.total(charge, "pack")), charge.present, name
    )


def _check_and_pack_again(build: Build, slot: Slot, made: DraftCharge) -> cp_model.IntervalVar:
    """The dry check and the packing of a kept charge, open again; its packing."""
    lot, pack = build.problem.lots[made.lot], made.recipe.pack
    name = f"{lot.note_id} at {made.cut}"
    check, packed = _after(build, lot, (slot.unloaded, pack), slot.present, name)
    slot.after.append(After(made, check, packed))
    packing = build.interval(packed, pack, None, name)
    build.pair_tasks.setdefault(lot.grower, []).append(packing)
    return packing


def _after(
    build: Build, lot: Lot, times: tuple[Expression, Expression], present: Literal, name: str
) -> tuple[Literal, Literal]:
    """The starts of the dry check, by one hand, and of packing; times: when unloaded, and how long
    packing takes."""
    problem, model, (unloaded, pack_takes) = build.problem, build.model, times
    check = build.tick(f"{name} check", lasting(problem.staffed, problem.check) or 1)
    pack = build.tick(f"{name} pack", (problem.staffed & ~problem.away[lot.grower]) or 1)
    model.add(check >= unloaded + problem.check_after).only_enforce_if(present)
    model.add(pack >= check + problem.check).only_enforce_if(present)
    model.add(pack >= unloaded + lot.rest).only_enforce_if(present)
    model.add(pack + pack_takes <= unloaded + lot.pack_within).only_enforce_if(present)
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
