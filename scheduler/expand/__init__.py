"""From a draft to the plan: letters, weights, places, baskets, rack positions and names of
hands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Duty, Plan, Run, Waiting
from scheduler.expand.charges import Kitchenful, Weighed, share
from scheduler.expand.duties import Need, named
from scheduler.expand.places import Places
from scheduler.problem import Draft, DraftCharge, DraftRun, Problem
from scheduler.units import Grams

__all__ = ["expanded"]


def expanded(asked: Asked, problem: Problem, draft: Draft) -> Plan:
    """The whole plan that a draft stands for; BrokenPromise where places or hands do not
    suffice."""
    shared = Kitchenful(asked, problem)
    drafts = sorted(draft.runs, key=lambda run: (run.start, run.dryer))
    weighed = _weighed(problem, drafts)
    runs = tuple(
        _run(shared, draft_run, weighed, number) for number, draft_run in _numbered(problem, drafts)
    )
    return Plan(
        week=asked.week,
        rules=problem.rules.name,
        runs=runs,
        duties=_duties(shared, drafts, runs, weighed) if problem.rules.hands else (),
        waiting=tuple(_waiting(asked, problem, runs)),
    )


def _numbered(problem: Problem, drafts: list[DraftRun]) -> Iterator[tuple[str, DraftRun]]:
    count: dict[int, int] = {}
    for run in drafts:
        count[run.dryer] = count.get(run.dryer, 0) + 1
        yield f"{problem.dryers[run.dryer].id}-{count[run.dryer]}", run


Key = tuple[int, int]  # dryer and start of the run


def _weighed(problem: Problem, drafts: list[DraftRun]) -> dict[tuple[Key, int], Weighed]:
    """Every charge with letter, weights and places, by run and lot."""
    charges = [((run.dryer, run.start), charge) for run in drafts for charge in run.charges]
    of_lot: dict[int, list[tuple[Key, DraftCharge]]] = {}
    for key, charge in charges:
        of_lot.setdefault(charge.lot, []).append((key, charge))
    places = Places(problem, [charge for _, charge in charges])
    first_rack = _first_racks(drafts)
    found: dict[tuple[Key, int], Weighed] = {}
    for lot_index, own in of_lot.items():
        lot, before = problem.lots[lot_index], 0
        whole = len(own) == 1 and own[0][1].recipe.racks == lot.racks
        for number, (key, charge) in enumerate(own):
            which = (charge.recipe.racks, number if problem.rules.easier else before, len(own))
            found[key, lot_index] = Weighed(
                draft=charge,
                letter="" if whole else "ABCDEFGH"[number],
                first_rack=first_rack[key, lot_index],
                field_g=share(problem, lot, lot.field_g, which),
                prepared_g=share(problem, lot, lot.prepared_g, which),
                wash_line_id=places.wash_line(charge),
                tables=places.tables(charge),
                bench_id=places.bench(charge),
            )
            before += charge.recipe.racks
    return found


def _first_racks(drafts: list[DraftRun]) -> dict[tuple[Key, int], int]:
    found: dict[tuple[Key, int], int] = {}
    for run in drafts:
        rack = 1
        for charge in run.charges:
            found[(run.dryer, run.start), charge.lot] = rack
            rack += charge.recipe.racks
    return found


def _run(
    shared: Kitchenful, draft: DraftRun, weighed: dict[tuple[Key, int], Weighed], number: str
) -> Run:
    problem = shared.problem
    dryer = problem.dryers[draft.dryer]
    end = draft.start + draft.drying
    release = problem.release(end)
    own = [weighed[(draft.dryer, draft.start), charge.lot] for charge in draft.charges]
    washed = draft.wash_down
    return Run(
        id=number,
        dryer_id=dryer.id,
        set_point_c=_set_point(problem, draft, [shared.card(each).set_point_c for each in own]),
        start=shared.at(draft.start),
        end=shared.at(end),
        released=shared.at(end if release is None else release),
        unload=None if problem.rules.easier else shared.span(draft.unload, dryer.unload),
        wash_down=None if washed is None else shared.span(washed, dryer.wash_down),
        charges=tuple(shared.charge(each) for each in own),
    )


def _set_point(problem: Problem, draft: DraftRun, wanted: list[float]) -> float:
    """The mean of what the cards ask for, as far as every card and the dryer tolerate it."""
    lots = [problem.lots[charge.lot] for charge in draft.charges]
    dryer = problem.dryers[draft.dryer]
    coolest = max(dryer.coolest, *(lot.coolest for lot in lots))
    hottest = min(dryer.hottest, *(lot.hottest for lot in lots))
    mean = round(10 * sum(wanted) / len(wanted))
    return min(max(mean, coolest), hottest) / 10


def _duties(
    shared: Kitchenful,
    drafts: list[DraftRun],
    runs: tuple[Run, ...],
    weighed: dict[tuple[Key, int], Weighed],
) -> tuple[Duty, ...]:
    needs: list[Need] = []
    pairs: list[Duty] = []
    for draft, run in zip(drafts, runs, strict=True):
        needs.extend(_run_needs(run))
        for draft_charge, charge in zip(draft.charges, run.charges, strict=True):
            its = weighed[(draft.dryer, draft.start), draft_charge.lot]
            needs.extend(shared.needs(its, charge))
            pairs.extend(_pair_duties(shared, its, run, draft_charge.lot))
    duties = (*named(shared.asked, needs), *pairs)
    return tuple(sorted(duties, key=lambda duty: (duty.span, duty.who)))


def _run_needs(run: Run) -> Iterable[Need]:
    if run.unload is not None:
        yield Need(run.unload, "unload", run.dryer_id, run.id)
    if run.wash_down is not None:
        yield Need(run.wash_down, "wash-down", run.dryer_id, run.id)


def _pair_duties(shared: Kitchenful, its: Weighed, run: Run, lot: int) -> Iterator[Duty]:
    charge = next(each for each in run.charges if each.note_id == shared.problem.lots[lot].note_id)
    for steamer_id, span in list(shared.attended(charge))[:1]:
        start = shared.pair_from(its, span)
        if start < span.end:
            grower = shared.note(its).grower_id
            yield Duty(grower, "steam", steamer_id, charge.code, Span(start, span.end))


def _waiting(asked: Asked, problem: Problem, runs: tuple[Run, ...]) -> Iterator[Waiting]:
    """What of each note has no place."""
    for lot in problem.lots:
        own = [c for run in runs for c in run.charges if c.note_id == lot.note_id]
        prepared = lot.prepared_g - sum(charge.prepared_g for charge in own)
        field = lot.field_g - sum(charge.field_g for charge in own)
        if prepared:
            yield Waiting(lot.note_id, Grams(field), Grams(prepared))
