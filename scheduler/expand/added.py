"""A plan with one more lot in it: everything that stands in it stays as it is, to the name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Duty, Plan, Run
from scheduler.expand.charges import Kitchenful, Weighed
from scheduler.expand.duties import Need, named
from scheduler.expand.runs import in_full, key, pair_duties, run_needs, waiting, weighed
from scheduler.problem import Draft, DraftCharge, DraftRun, Lot, Problem


def added(asked: Asked, problem: Problem, plan: Plan, *, draft: Draft, lot: Lot) -> Plan:
    """The plan with the lot's charges as the draft has them beside the plan's own.

    Tables, benches, wash lines and hands are only those that the plan leaves free; runs keep their
    names, set points and racks. Proof and seed are left out: they were the plan's alone.
    BrokenPromise where places or hands do not suffice.
    """
    return _Added(asked, problem, plan, draft, lot).plan()


@dataclass(frozen=True, slots=True)
class _Added:
    asked: Asked
    problem: Problem
    old: Plan
    draft: Draft
    lot: Lot

    def plan(self) -> Plan:
        pairs = list(self._pairs())
        free = replace(self.problem, down=_taken(self.problem, pairs))
        drafts = sorted(self.draft.runs, key=lambda run: (run.start, run.dryer))
        shared, its = (
            Kitchenful(self.asked, self.problem),
            weighed(free, drafts, only=self.lot.index),
        )
        of_run = {where: each for (where, _), each in its.items()}
        runs = tuple(self._runs(shared, drafts, of_run))
        return replace(
            self.old,
            runs=runs,
            duties=self._duties(shared, runs, list(its.values())),
            waiting=(
                *(each for each in self.old.waiting if each.note_id != self.lot.note_id),
                *waiting(self.lot, runs),
            ),
            proof=None,
            seed=None,
            work=None,
        )

    def _old_run(self, run: DraftRun) -> Run | None:
        start = Kitchenful(self.asked, self.problem).at(run.start)
        dryer_id = self.problem.dryers[run.dryer].id
        same = (each for each in self.old.runs if (each.dryer_id, each.start) == (dryer_id, start))
        return next(same, None)

    def _pairs(self) -> Iterator[tuple[Charge, DraftCharge]]:
        """The plan's own charges, each beside its draft."""
        for run in self.draft.runs:
            old = self._old_run(run)
            if old is not None:
                yield from zip(old.charges, run.charges, strict=False)  # a new one comes last

    def _runs(
        self, shared: Kitchenful, drafts: list[DraftRun], new: dict[tuple[int, int], Weighed]
    ) -> Iterator[Run]:
        names = {run.id for run in self.old.runs}
        for draft in drafts:
            old, its = self._old_run(draft), new.get(key(draft))
            if old is None:
                assert its is not None
                name = _free_name(self.problem.dryers[draft.dryer].id, names)
                names.add(name)
                yield in_full(shared, draft, [its], name)
                continue
            if its is not None:
                old = replace(old, charges=(*old.charges, shared.charge(its)))
            if draft.wash_down is not None and old.wash_down is None:
                length = self.problem.dryers[draft.dryer].wash_down
                old = replace(old, wash_down=shared.span(draft.wash_down, length))
            yield old

    def _duties(
        self, shared: Kitchenful, runs: tuple[Run, ...], its: list[Weighed]
    ) -> tuple[Duty, ...]:
        if not self.problem.rules.hands:
            return self.old.duties
        known = {need for run in self.old.runs for need in run_needs(run)}
        needs: list[Need] = [need for run in runs for need in run_needs(run) if need not in known]
        pairs: list[Duty] = []
        of_letter = {each.letter: each for each in its}
        for charge in (c for run in runs for c in run.charges if c.note_id == self.lot.note_id):
            needs.extend(shared.needs(of_letter[charge.letter], charge))
            pairs.extend(pair_duties(shared, of_letter[charge.letter], charge))
        new = named(self.asked, needs, beside=self.old.duties)
        return tuple(
            sorted((*self.old.duties, *new, *pairs), key=lambda duty: (duty.span, duty.who))
        )


def _free_name(dryer_id: str, names: set[str]) -> str:
    number = 1
    while f"{dryer_id}-{number}" in names:
        number += 1
    return f"{dryer_id}-{number}"


def _taken(problem: Problem, pairs: list[tuple[Charge, DraftCharge]]) -> dict[str, int]:
    """By station: the ticks at which it is down or the plan uses it, change-over included."""
    taken = dict(problem.down)

    def take(station_id: str, start: int, length: int) -> None:
        taken[station_id] = taken.get(station_id, 0) | (((1 << length) - 1) << start)

    for charge, draft in pairs:
        made, recipe = charge.preparation, draft.recipe
        if made is not None:
            take(made.wash_line_id, draft.wash, recipe.wash)
            for place in made.tables:
                stay = recipe.cut + problem.lots[draft.lot].change_over
                take(place.table_id, draft.cut, stay)
        if charge.after is not None:
            take(charge.after.bench_id, draft.pack, recipe.pack)
    return taken
