"""Rules 7, 9, 10 and 11: from the door over wash line, tables, steamers and tub to the last
rack."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from ortools.sat.python import cp_model

from scheduler.model.parts import Build, Charge, Expression, Literal, reach, stretches
from scheduler.problem import FOREVER
from scheduler.whiteboard.masks import Profile, block, span


def add_stream(build: Build) -> None:
    """The preparation of every free charge, and the stations that all of them share."""
    if build.problem.rules.easier:
        return
    for charge in build.charges:
        _prepare(build, charge)
    rules = build.problem.rules
    if rules.tables:
        _wash_lines(build)
        _tables(build)
    if rules.steamers:
        _steamers(build)
        _tub(build)
    if rules.cold_store:
        _cold_store(build)
    _steam_watts(build)
    _in_one_stretch(build)


def _prepare(build: Build, charge: Charge) -> None:
    """The chain of one charge: washed, cut, steamed, racked, started (rules 7 and 9)."""
    problem, model, lot = build.problem, build.model, charge.lot
    name = f"{lot.note_id}.{charge.number}"
    at_work = problem.staffed & ~problem.away[lot.grower] & ~block(0, max(lot.arrives, problem.now))
    steam_at = _before(charge, reach(charge.start), "ready")
    cut_at = _before(charge, steam_at, "steam") if _steamed(charge) else steam_at
    washed = cut_at[1] - min(recipe.wash for recipe, _ in charge.options)
    charge.wash = build.tick(f"{name} wash", at_work & span(0, washed) or 1)
    charge.cut = build.tick(f"{name} cut", at_work & span(*cut_at) or 1)
    model.add(charge.wash + build.total(charge, "wash") <= charge.cut).only_enforce_if(
        charge.present
    )
    pair = build.pair_tasks.setdefault(lot.grower, [])
    for start, figure in ((charge.wash, "wash"), (charge.cut, "cut")):
        size = build.total(charge, figure)
        at = build.interval(start, size, charge.present, f"{name} {figure}")
        pair.append(at)
        if lot.alone:
            build.hand_tasks.append((at, 1))
    _further_tables(build, charge)
    if not _steamed(charge):
        _window(build, charge, charge.cut, charge.start, "ready")
        return
    charge.steam = build.tick(f"{name} steam", problem.staffed & span(*steam_at) or 1)
    _window(build, charge, charge.cut, charge.steam, "steam")
    _window(build, charge, charge.steam, charge.start, "ready")
    _attend(build, charge)


def _steamed(charge: Charge) -> bool:
    return any(recipe.steamers for recipe, _ in charge.options)


def _before(charge: Charge, then: tuple[int, int], figure: str) -> tuple[int, int]:
    """The first tick and the last for a step, by those for what follows it, whatever the option."""
    recipes = [recipe for recipe, _ in charge.options]
    most = max(int(getattr(recipe, f"{figure}_to")) for recipe in recipes)
    least = min(int(getattr(recipe, f"{figure}_from")) for recipe in recipes)
    return then[0] - most, then[1] - least


def _window(build: Build, charge: Charge, first: Expression, then: Expression, figure: str) -> None:
    """then lies between least and most after first, as the chosen option says."""
    least, most = f"{figure}_from", f"{figure}_to"
    build.model.add(then >= first + build.total(charge, least)).only_enforce_if(charge.present)
    if min(int(getattr(recipe, most)) for recipe, _ in charge.options) < FOREVER:
        build.model.add(then <= first + build.total(charge, most)).only_enforce_if(charge.present)


def _chosen(build: Build, charge: Charge, wanted: list[Literal]) -> Literal | None:
    """One literal that says whether any of these options is chosen."""
    if not wanted:
        return None
    if len(wanted) == len(charge.options):
        return charge.present
    if len(wanted) == 1:
        return wanted[0]
    chosen = build.boolean("chosen")
    build.model.add(chosen == sum(wanted))
    return chosen


def _further_tables(build: Build, charge: Charge) -> None:
    """Rule 12: two kitchen hands at a further table."""
    chosen = _chosen(
        build, charge, [lit for recipe, lit in charge.options if len(recipe.tables) > 1]
    )
    if chosen is not None:
        at = build.interval(charge.cut, build.total(charge, "cut"), chosen, "further table")
        build.hand_tasks.append((at, 2))


def _attend(build: Build, charge: Charge) -> None:
    """Rule 12: a hand at every steamer, or the grower's pair once its cut is done."""
    problem, model, lot = build.problem, build.model, charge.lot
    steamed = model.new_int_var(0, problem.horizon, "steamed")
    model.add(steamed == charge.steam + build.total(charge, "steam"))
    if not problem.rules.hands:
        return
    pair_attends = build.boolean("pair attends")
    charge.pair_attends = pair_attends
    model.add_implication(pair_attends, charge.present)
    single = [lit for recipe, lit in charge.options if len(recipe.steamers) == 1]
    model.add(pair_attends <= sum(single))
    if lot.alone:
        model.add(pair_attends == 0)
    by_hands = model.new_int_var(0, problem.horizon, "hands until")
    model.add(by_hands == steamed).only_enforce_if(~pair_attends)
    cut_done = model.new_int_var(0, 2 * problem.horizon, "cut done")
    model.add_max_equality(cut_done, [charge.cut + build.total(charge, "cut"), charge.steam])
    model.add(by_hands == cut_done).only_enforce_if(pair_attends)
    model.add(by_hands >= charge.steam)
    model.add(by_hands <= steamed).only_enforce_if(charge.present)
    length = model.new_int_var(0, 200, "hands for")
    two = [lit for recipe, lit in charge.options if len(recipe.steamers) > 1]
    wanted = build.single(1 + sum(two), 2) if two else 1
    at = model.new_optional_interval_var(
        charge.steam, length, by_hands, charge.present, "hand attends"
    )
    build.hand_tasks.append((at, wanted))
    own = model.new_int_var(0, 200, "pair for")
    build.pair_tasks[lot.grower].append(
        model.new_optional_interval_var(by_hands, own, steamed, pair_attends, "pair attends")
    )
    _two_in_the_house(build, charge, steamed)


def _two_in_the_house(build: Build, charge: Charge, steamed: Expression) -> None:
    """While a kitchen hand minds the steamer to its end, a second one is on shift."""
    assert charge.pair_attends is not None
    by_hand = build.boolean("by hand alone")
    build.model.add(by_hand == charge.present - charge.pair_attends)
    inside = []
    for first, after in stretches(build.problem.two_on_shift):
        literal = build.boolean("two in")
        build.model.add(charge.steam >= first).only_enforce_if(literal)
        build.model.add(steamed <= after).only_enforce_if(literal)
        inside.append(literal)
    build.model.add(sum(inside) >= by_hand)


def _wash_lines(build: Build) -> None:
    tasks = [
        build.interval(c.wash, build.total(c, "wash"), c.present, "at the wash line")
        for c in build.charges
    ]
    _shared(
        build, tasks, [1] * len(tasks), _places_used(build.board.washing), len(build.board.washing)
    )


def _tables(build: Build) -> None:
    """Tables that are alike count together; a change-over is part of the stay (rule 8), and
    staffed."""
    closed = ~build.problem.staffed & build.board.calendars.everywhere
    for kind, places in enumerate(build.board.tables):
        tasks, wanted = [], []
        for charge in build.charges:
            using = [(r, lit) for r, lit in charge.options if kind in r.tables]
            chosen = _chosen(build, charge, [literal for _, literal in using])
            if chosen is None:
                continue
            size = build.single(build.total(charge, "cut") + charge.lot.change_over, 400)
            tasks.append(build.interval(charge.cut, size, chosen, f"at table kind {kind}"))
            twice = [literal for r, literal in using if r.tables.count(kind) > 1]
            wanted.append(build.single(1 + sum(twice), 2) if twice else 1)
        _shared(build, tasks, wanted, _places_used([each | closed for each in places]), len(places))


def _steamers(build: Build) -> None:
    """Steamers that are alike count together."""
    for kind, places in enumerate(build.board.steamers):
        tasks, wanted = [], []
        for charge in build.charges:
            using = [(r, lit) for r, lit in charge.options if kind in r.steamers]
            chosen = _chosen(build, charge, [literal for _, literal in using])
            if chosen is None:
                continue
            size = build.total(charge, "steam")
            tasks.append(build.interval(charge.steam, size, chosen, f"on steamer kind {kind}"))
            twice = [literal for r, literal in using if r.steamers.count(kind) > 1]
            wanted.append(build.single(1 + sum(twice), 2) if twice else 1)
        _shared(build, tasks, wanted, _places_used(places), len(places))


def _tub(build: Build) -> None:
    tasks, grams = [], []
    for charge in build.charges:
        if _steamed(charge):
            tasks.append(
                build.interval(
                    charge.steam, build.total(charge, "tub"), charge.present, "in the tub"
                )
            )
            grams.append(build.total(charge, "tub_g"))
    _shared(build, tasks, grams, build.board.tub, build.problem.tub_g)


def _cold_store(build: Build) -> None:
    tasks, crates = [], []
    for charge in build.charges:
        if any(recipe.crates for recipe, _ in charge.options):
            waits = build.model.new_int_var(0, build.problem.horizon, "waits")
            tasks.append(
                build.model.new_optional_interval_var(
                    charge.lot.at_door, waits, charge.cut, charge.present, "in the cold store"
                )
            )
            crates.append(build.total(charge, "crates"))
    _shared(build, tasks, crates, build.board.crates, build.problem.crates)


def _steam_watts(build: Build) -> None:
    for charge in build.charges:
        if not _steamed(charge):
            continue
        kinds = build.problem.steamer_kinds
        watts = build.model.new_int_var(
            0, sum(kind.watts * len(kind.ids) for kind in kinds), "watts"
        )
        build.model.add(
            watts
            == sum(
                sum(kinds[kind].watts for kind in recipe.steamers) * literal
                for recipe, literal in charge.options
            )
        )
        at = build.interval(
            charge.steam, build.total(charge, "steam"), charge.present, "steam watts"
        )
        build.watt_tasks.append((at, watts))


def _in_one_stretch(build: Build) -> None:
    """Rule 2: from cut, or steaming, to the last rack while the kitchen is staffed.

    Where a charge can wait longer than the kitchen is closed, its run may start in another stretch.
    """
    days = build.problem.days
    shortest = min((later.open - day.close for day, later in pairwise(days)), default=0)
    closed = ~build.problem.staffed & build.board.calendars.everywhere
    shut = [
        build.model.new_fixed_size_interval_var(first, after - first, "closed")
        for first, after in stretches(closed)
    ]
    for charge in build.charges:
        if max(recipe.ready_to for recipe, _ in charge.options) > shortest:
            begin = charge.steam if _steamed(charge) else charge.cut
            racked = build.interval(
                begin, build.total(charge, "ready_from"), charge.present, "to the last rack"
            )
            build.model.add_no_overlap([racked, *shut])


def _places_used(places: list[int]) -> Profile:
    profile = Profile(-1 & ((1 << max(1, max((p.bit_length() for p in places), default=1))) - 1))
    for used in places:
        profile.add(used, 1)
    return profile


def _shared(
    build: Build,
    tasks: list[cp_model.IntervalVar],
    wanted: Sequence[Expression],
    used: Profile,
    limit: int,
) -> None:
    """Never more in use than there is: free tasks on top of what kept charges use."""
    if not tasks:
        return
    fixed = [
        (build.model.new_fixed_size_interval_var(first, after - first, "kept"), amount)
        for amount, mask in used.levels.items()
        if amount
        for first, after in stretches(mask)
    ]
    if limit == 1 and all(isinstance(each, int) and each == 1 for each in wanted):
        build.model.add_no_overlap(tasks + [interval for interval, _ in fixed])
        return
    build.model.add_cumulative(
        tasks + [interval for interval, _ in fixed],
        [*wanted, *(amount for _, amount in fixed)],
        limit,
    )
