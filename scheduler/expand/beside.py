"""A draft in full beside what stays of an older plan: that keeps its places and names of hands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Duty, Plan, Run
from scheduler.expand.charges import Kitchenful, Weighed
from scheduler.expand.duties import Need, named
from scheduler.expand.runs import (
    AllWeighed,
    first_racks,
    in_full,
    pair_duties,
    run_needs,
    weighed,
)
from scheduler.problem import Draft, DraftCharge, DraftRun, Key, Problem


@dataclass(frozen=True)
class Beside:
    """runs() and duties() of a draft. What stays, the problem's firm lots, is as in old; all else
    has only those tables, benches, wash lines and hands that this leaves free.

    BrokenPromise where places or hands do not suffice.
    """

    asked: Asked
    problem: Problem
    draft: Draft
    old: Plan

    @cached_property
    def shared(self) -> Kitchenful:
        return Kitchenful(self.asked, self.problem)

    @cached_property
    def drafts(self) -> list[DraftRun]:
        return sorted(self.draft.runs, key=lambda run: (run.start, run.dryer))

    @cached_property
    def new(self) -> AllWeighed:
        return weighed(self.problem, self.drafts)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        names = {run.id for run in self._old_runs.values()}
        first = first_racks(self.drafts)
        return tuple(self._run(draft, names, first) for draft in self.drafts)

    def duties(self) -> tuple[Duty, ...]:
        stay = tuple(self._duties_that_stay())
        known = set(self._run_needs_that_stay())
        needs = [need for run in self.runs for need in run_needs(run) if need not in known]
        pairs: list[Duty] = []
        for its, charge in self._new_charges():
            needs.extend(self.shared.needs(its, charge))
            pairs.extend(pair_duties(self.shared, its, charge))
        new = named(self.asked, needs, beside=stay)
        return tuple(sorted((*stay, *new, *pairs), key=lambda duty: (duty.span, duty.who)))

    def _stays(self, charge: DraftCharge) -> bool:
        return charge.lot in self.problem.firm.lots

    @cached_property
    def _old_runs(self) -> dict[Key, Run]:
        """The old plan's runs that something stays in, by place."""
        dryers = {dryer.id: dryer.index for dryer in self.problem.dryers}
        by_place = {(dryers.get(run.dryer_id), run.start): run for run in self.old.runs}
        return {
            run.key: by_place[run.dryer, self.shared.at(run.start)]
            for run in self.problem.firm.draft.runs
        }

    @cached_property
    def _old_charges(self) -> dict[tuple[Key, int], Charge]:
        lots = {lot.note_id: lot.index for lot in self.problem.lots}
        return {
            (key, lots[charge.note_id]): charge
            for key, run in self._old_runs.items()
            for charge in run.charges
            if lots.get(charge.note_id) in self.problem.firm.lots
        }

    def _run(self, draft: DraftRun, names: set[str], first: dict[tuple[Key, int], int]) -> Run:
        old = self._old_runs.get(draft.key)
        charges = tuple(self._charge(draft, each, first) for each in draft.charges)
        if old is not None:
            made = in_full(self.shared, draft, charges, old.id)
            return replace(made, set_point_c=old.set_point_c)
        name = _free_name(self.problem.dryers[draft.dryer].id, names)
        names.add(name)
        return in_full(self.shared, draft, charges, name)

    def _charge(
        self, run: DraftRun, draft: DraftCharge, first: dict[tuple[Key, int], int]
    ) -> Charge:
        """Its racks are told anew where others no longer lie before it as they did."""
        old = self._old_charges.get((run.key, draft.lot))
        if old is None:
            return self.shared.charge(self.new[run.key, draft.lot])
        now = [self.problem.lots[charge.lot].note_id for charge in run.charges]
        before = [charge.note_id for charge in self._old_runs[run.key].charges]
        if now[: len(before)] == before:
            return old
        return replace(old, first_rack=first[run.key, draft.lot])

    def _new_charges(self) -> Iterator[tuple[Weighed, Charge]]:
        for draft, run in zip(self.drafts, self.runs, strict=True):
            for each, charge in zip(draft.charges, run.charges, strict=True):
                if not self._stays(each):
                    yield self.new[draft.key, each.lot], charge

    def _run_needs_that_stay(self) -> Iterator[Need]:
        before = {need for run in self._old_runs.values() for need in run_needs(run)}
        return (need for run in self.runs for need in run_needs(run) if need in before)

    def _duties_that_stay(self) -> Iterator[Duty]:
        codes = {charge.code for charge in self._old_charges.values()}
        needs = {(need.work, need.station_id, need.subject) for need in self._run_needs_that_stay()}
        for duty in self.old.duties:
            if duty.subject in codes or (duty.work, duty.station_id, duty.subject) in needs:
                yield duty


def _free_name(dryer_id: str, names: set[str]) -> str:
    number = 1
    while f"{dryer_id}-{number}" in names:
        number += 1
    return f"{dryer_id}-{number}"


def in_place(before: Plan, after: Plan, note_id: str) -> bool:
    """Whether a note is planned as before, to the names of hands; the order of racks is free."""
    return list(_work(before, note_id)) == list(_work(after, note_id))


def _work(plan: Plan, note_id: str) -> Iterator[object]:
    codes = set()
    for run, charge in plan.charges():
        if charge.note_id == note_id:
            codes.add(charge.code)
            yield run.dryer_id, run.start, run.set_point_c, replace(charge, first_rack=1)
    yield from sorted(
        (duty for duty in plan.duties if duty.subject in codes),
        key=lambda duty: (duty.span, duty.who, duty.work),
    )


def taken_by(problem: Problem, plan: Plan, draft: Draft) -> dict[str, int]:
    """By station: the ticks at which a draft's charges use it as in a plan, change-over included.

    draft: of runs of the plan, with some of their charges.
    """
    taken: dict[str, int] = {}

    def take(station_id: str, start: int, length: int) -> None:
        taken[station_id] = taken.get(station_id, 0) | (((1 << length) - 1) << start)

    of = {(charge.note_id, problem.tick(run.start)): charge for run, charge in plan.charges()}
    for run in draft.runs:
        for each in run.charges:
            lot, recipe = problem.lots[each.lot], each.recipe
            charge = of[lot.note_id, run.start]
            if charge.preparation is not None:
                take(charge.preparation.wash_line_id, each.wash, recipe.wash)
                for place in charge.preparation.tables:
                    take(place.table_id, each.cut, recipe.cut + lot.change_over)
                for steamer_id in {load.steamer_id for load in charge.preparation.steam_loads}:
                    take(steamer_id, each.steam, recipe.steam)
            if charge.after is not None:
                take(charge.after.bench_id, each.pack, recipe.pack)
    return taken
