"""Rules 1 to 3 and 8: when runs may start and end on a dryer, and what must lie between them."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.model.between import Between, add_wash_down, before_stops
from scheduler.model.parts import Build, Expression, Literal, Slot, domain
from scheduler.problem import Day, DraftRun, DryerSpec, Lot, Problem
from scheduler.whiteboard.masks import block, span


def add_slots(build: Build, lots: list[Lot]) -> None:
    """Every kept run, and every new run that the free lots could need, dryer by dryer."""
    for dryer in build.problem.dryers:
        own = [lot for lot in lots if dryer.index in lot.dryers]
        kept = build.board.runs[dryer.index]
        for run, after in zip((None, *kept), (*kept, None), strict=True):
            before = None
            if run is not None:
                before = _kept(build, dryer, run)
                build.slots.append(before)
            _Gap(build, dryer, own, before, after).fill()


def _kept(build: Build, dryer: DryerSpec, run: DraftRun) -> Slot:
    true = build.model.new_constant(1)
    day = day_of_start(build.problem, run)
    slot = Slot(dryer, run, day, true, run.start, run.drying, run.unload, dryer.racks - run.racks)
    slot.groups = {build.problem.lots[run.charges[0].lot].group: true}
    slot.dryings = {run.drying: true}
    if run.key in build.board.loose:
        _loosen(build, slot, run)
    return slot


def _loosen(build: Build, slot: Slot, run: DraftRun) -> None:
    """Rule 3 for a kept run that is unloaded when it suits, on the day of its release."""
    problem, dryer = build.problem, slot.dryer
    released = problem.release(run.start + run.drying)
    assert released is not None
    day = problem.day_of(released)
    assert day is not None
    last = min(released + problem.unloaded_within, day.close) - dryer.unload
    name = f"{dryer.id} {run.start} unload"
    unload = build.tick(name, block(released, last + 1 - released))
    slot.unload = unload
    before_stops(build, dryer, slot.unloaded, begun=run.start, whether=slot.present)
    build.hand_tasks.append((build.interval(unload, dryer.unload, None, name), 1))
    if run.wash_down is not None:
        build.model.add(slot.unloaded <= run.wash_down)


def day_of_start(problem: Problem, run: DraftRun) -> int:
    """The number of the day on which a run starts."""
    return next(i for i, day in enumerate(problem.days) if day.open <= run.start <= day.close)


class _Gap:
    """Room between two kept runs: a chain of slots, each of which may stay empty."""

    def __init__(
        self,
        build: Build,
        dryer: DryerSpec,
        lots: list[Lot],
        before: Slot | None,
        after: DraftRun | None,
    ) -> None:
        self.build, self.dryer, self.lots = build, dryer, lots
        self.before, self.after = before, after
        self.problem: Problem = build.problem
        self.model = build.model
        self.dirty: dict[int, Expression] = {}
        self.free: Expression = dryer.free_from
        self.unloaded: Expression = 0
        if before is not None:
            self._start_after(before)
        elif dryer.last_group is not None and any(
            g == dryer.last_group for g, _ in self.problem.washes
        ):
            self.dirty[dryer.last_group] = 1

    def _start_after(self, before: Slot) -> None:
        problem, dryer, run = self.problem, self.dryer, before.kept
        assert run is not None
        self.unloaded = before.unloaded
        self.free = self._turned_round(before)
        group = problem.lots[run.charges[0].lot].group
        if run.wash_down is not None:
            rest = dryer.turn_round - dryer.unload
            washed = problem.staffed_time(run.wash_down) + dryer.wash_down + rest
            if isinstance(self.free, int):
                self.free = max(self.free, washed)
            else:
                later = self.model.new_int_var(washed, 2 * problem.horizon, "washed and free")
                self.model.add(later >= self.free)
                self.free = later
        elif any(first == group for first, _ in problem.washes):
            self.dirty[group] = 1

    def _turned_round(self, before: Slot) -> Expression:
        """The staffed time from which the dryer is free again."""
        if isinstance(before.unload, int):
            return self.problem.staffed_time(before.unload) + self.dryer.turn_round
        run = before.kept
        assert run is not None
        day = self.problem.day_of(run.unload)
        assert day is not None
        return before.unload - day.open + day.before + self.dryer.turn_round

    def fill(self) -> None:
        for index, opens, closes in self._days():
            earlier = None
            for _ in range(self._how_many(opens, closes)):
                slot = self._slot(index, opens, closes)
                if slot is None:
                    break
                self._chain(slot)
                if earlier is not None:
                    self.model.add_implication(slot.present, earlier.present)
                earlier = slot
        if self.after is not None and not isinstance(self.free, int):
            self._close(self.after)

    def _days(self) -> Iterator[tuple[int, int, int]]:
        """Days on which a run may start in the gap, with the first and last tick for it."""
        problem = self.problem
        if not self.lots:
            return
        first = problem.at_staffed_time(self.free) if isinstance(self.free, int) else 0
        last = problem.horizon if self.after is None else self.after.start
        wanted_from = min(lot.earliest for lot in self.lots)
        wanted_to = max(lot.latest for lot in self.lots)
        for index, day in enumerate(problem.days):
            opens, closes = max(day.open, first), min(day.close, last)
            if day.plans and opens <= closes and opens <= wanted_to and closes >= wanted_from:
                yield index, opens, closes

    def _how_many(self, opens: int, closes: int) -> int:
        shortest = min(lot.drying for lot in self.lots) + self.dryer.turn_round
        return 1 + (closes - opens) // shortest

    def _slot(self, index: int, opens: int, closes: int) -> Slot | None:
        build, dryer, day = self.build, self.dryer, self.problem.days[index]
        name = f"{dryer.id} day {index} no {len(build.slots)}"
        window = block(opens, closes - opens + 1)
        lots = [lot for lot in self.lots if lot.earliest <= closes and lot.latest >= opens]
        legal = {
            drying: build.board.calendars.legal_starts(dryer, drying) & window
            for drying in {lot.drying for lot in lots}
        }
        legal = {drying: mask for drying, mask in legal.items() if mask}
        if not legal:
            return None
        anywhere = 0
        for mask in legal.values():
            anywhere |= mask
        present = build.boolean(name)
        start = build.tick(f"{name} start", anywhere)
        dryings = {each: build.boolean(f"{name} {each}") for each in legal}
        groups = {each: build.boolean(f"{name} g{each}") for each in {lot.group for lot in lots}}
        self.model.add(sum(dryings.values()) == present)
        self.model.add(sum(groups.values()) == present)
        for drying, literal in dryings.items():
            self.model.add_linear_expression_in_domain(
                start, domain(legal[drying])
            ).only_enforce_if(literal)
        drying_now = sum(drying * literal for drying, literal in dryings.items())
        slot = Slot(dryer, None, index, present, start, drying_now, 0, dryer.racks)
        slot.dryings, slot.groups = dryings, groups
        slot.unload = self._unload(slot, name)
        build.slots.append(slot)
        self.model.add(start - day.open + day.before >= self.free).only_enforce_if(present)
        self._draw(slot, name)
        return slot

    def _unload(self, slot: Slot, name: str) -> Literal:
        """Rule 3: released at the end or at the next opening, then unloaded within the limit."""
        problem, build, dryer = self.problem, self.build, self.dryer
        end = slot.start + slot.drying
        if problem.rules.easier:
            return self._easier_release(slot, name)
        longest = max(slot.dryings)
        last = problem.days[slot.day].close + longest
        first = problem.days[slot.day].open + min(slot.dryings)
        unload = build.tick(f"{name} unload", self._unloading(first, last) or 1)
        literals = []
        for index, day in enumerate(problem.days):
            shut = problem.days[index - 1].close if index else 0
            if not day.plans or day.close < first or day.open - problem.cool_hold > last:
                continue
            in_staffed, overnight = build.boolean(f"{name} by day"), build.boolean(f"{name} held")
            within = problem.unloaded_within - dryer.unload
            self.model.add_linear_constraint(
                end, day.open, day.close - dryer.unload
            ).only_enforce_if(in_staffed)
            self.model.add(unload >= end).only_enforce_if(in_staffed)
            self.model.add(unload <= end + within).only_enforce_if(in_staffed)
            self.model.add(unload <= day.close - dryer.unload).only_enforce_if(in_staffed)
            self.model.add_linear_constraint(
                end, max(shut, day.open - problem.cool_hold), day.open - 1
            ).only_enforce_if(overnight)
            self.model.add_linear_constraint(unload, day.open, day.open + within).only_enforce_if(
                overnight
            )
            literals += [(in_staffed, day), (overnight, day)]
        self.model.add(sum(literal for literal, _ in literals) == slot.present)
        self._release_days(slot, literals, unload)
        before_stops(build, dryer, unload + dryer.unload, begun=slot.start, whether=slot.present)
        build.hand_tasks.append(
            (build.interval(unload, dryer.unload, slot.present, f"{name} unloading"), 1)
        )
        return unload

    def _unloading(self, first: int, last: int) -> int:
        """Mask of the ticks at which a run that ends between these may be unloaded."""
        problem = self.problem
        released = next((d.open for d in problem.days if d.plans and d.open >= last), last)
        return problem.staffed & span(first, max(last, released) + problem.unloaded_within)

    def _release_days(
        self, slot: Slot, literals: list[tuple[Literal, Day]], unload: Expression
    ) -> None:
        """Remember the staffed time at which the dryer is free again."""
        free = self.model.new_int_var(0, 2 * self.problem.horizon, "free")
        for literal, day in literals:
            self.model.add(
                free == unload - day.open + day.before + self.dryer.turn_round
            ).only_enforce_if(literal)
        self._freed = free

    def _easier_release(self, slot: Slot, name: str) -> Literal:
        release = self.build.tick(f"{name} release")
        problem, end = self.problem, slot.start + slot.drying
        literals = []
        for index, day in enumerate(problem.days):
            if not day.plans:
                continue
            by_day, held = self.build.boolean(f"{name} by day"), self.build.boolean(f"{name} held")
            self.model.add_linear_constraint(end, day.open, day.close).only_enforce_if(by_day)
            self.model.add(release == end).only_enforce_if(by_day)
            shut = problem.days[index - 1].close + 1 if index else 0
            self.model.add_linear_constraint(
                end, max(shut, day.open - problem.cool_hold), day.open - 1
            ).only_enforce_if(held)
            self.model.add(release == day.open).only_enforce_if(held)
            literals += [(by_day, day), (held, day)]
        self.model.add(sum(literal for literal, _ in literals) == slot.present)
        self._release_days(slot, literals, release)
        return release

    def _draw(self, slot: Slot, name: str) -> None:
        """Rule 13: full draw, then the later share."""
        build, dryer = self.build, self.dryer
        fulls = {drying: min(drying, dryer.full_draw) for drying in slot.dryings}
        most = max(fulls.values())
        full: Expression = most
        turn: Expression = slot.start + most
        late: Expression = slot.drying - most * slot.present
        if len(set(fulls.values())) > 1:
            chosen = sum(fulls[drying] * literal for drying, literal in slot.dryings.items())
            full = build.single(chosen, dryer.full_draw)
            turn = build.single(slot.start + full, self.problem.horizon + 300)
            late = slot.drying - full
        at_full = build.interval(slot.start, full, slot.present, f"{name} full")
        at_late = build.interval(turn, late, slot.present, f"{name} late")
        build.watt_tasks += [(at_full, dryer.watts), (at_late, dryer.late_watts)]

    def _chain(self, slot: Slot) -> None:
        """Rule 8: the next run waits for this one; wash-downs in between where the groups ask
        for one."""
        model, build, problem = self.model, self.build, self.problem
        needs = self._needs_wash(slot.groups)
        if needs:
            between = Between(self.dryer, self.unloaded, self.free, slot.start, slot.day)
            slot.wash_before = add_wash_down(build, between, needs)
        free = model.new_int_var(0, 2 * problem.horizon, "free after")
        unloaded = model.new_int_var(0, problem.horizon + 300, "unloaded")
        model.add(free >= self.free)
        model.add(free >= self._freed).only_enforce_if(slot.present)
        model.add(unloaded >= self.unloaded)
        model.add(unloaded >= slot.unloaded).only_enforce_if(slot.present)
        if self.dryer.down:  # nor told later than it was, as if a stop had come before it
            model.add(unloaded <= slot.unloaded).only_enforce_if(slot.present)
            if self.before is not None or not isinstance(self.unloaded, int):
                # what is dirty from before the week was never unloaded in it, and may wait
                model.add(unloaded <= self.unloaded).only_enforce_if(~slot.present)
        self.free, self.unloaded = free, unloaded
        for group in {first for first, _ in problem.washes}:
            if group in self.dirty or group in slot.groups:
                dirty = build.boolean("dirty")
                own = slot.groups.get(group)
                if own is not None:
                    model.add_implication(own, dirty)
                before = self.dirty.get(group)
                if before is not None:
                    model.add(dirty >= before - slot.present)
                self.dirty[group] = dirty

    def _needs_wash(self, groups: dict[int, Literal]) -> list[tuple[Expression, Expression]]:
        return [
            (self.dirty[first], literal)
            for first, then in self.problem.washes
            for group, literal in groups.items()
            if group == then and first in self.dirty
        ]

    def _close(self, after: DraftRun) -> None:
        """The last slot of the gap leaves room before the kept run that follows."""
        problem = self.problem
        self.model.add(self.free <= problem.staffed_time(after.start))
        group = problem.lots[after.charges[0].lot].group
        true = self.model.new_constant(1)
        needs = self._needs_wash({group: true})
        if not needs:
            return
        between = Between(
            self.dryer, self.unloaded, self.free, after.start, day_of_start(problem, after)
        )
        self.build.closing.append((after, *add_wash_down(self.build, between, needs)))
