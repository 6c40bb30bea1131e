"""Runs and their charges in full: letters, weights, places, set points, and who is needed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Duty, Run, Waiting
from scheduler.expand.charges import Kitchenful, Weighed, share
from scheduler.expand.duties import Need
from scheduler.expand.places import Places
from scheduler.problem import DraftCharge, DraftRun, Key, Lot, Problem
from scheduler.units import Grams

AllWeighed = dict[tuple[Key, int], Weighed]  # by run and lot


def weighed(problem: Problem, drafts: list[DraftRun]) -> AllWeighed:
    """Every charge that is not firm with letter, weights and places.

    drafts in order of start. BrokenPromise where places do not suffice.
    """
    firm = problem.firm.lots
    charges = [
        (run.key, charge) for run in drafts for charge in run.charges if charge.lot not in firm
    ]
    of_lot: dict[int, list[tuple[Key, DraftCharge]]] = {}
    for which, charge in charges:
        of_lot.setdefault(charge.lot, []).append((which, charge))
    places = Places(problem, charges)
    first_rack = first_racks(drafts)
    found: AllWeighed = {}
    for lot_index, own in of_lot.items():
        lot, before = problem.lots[lot_index], 0
        whole = len(own) == 1 and own[0][1].recipe.racks == lot.racks
        for number, (where, charge) in enumerate(own):
            which_racks = (
                charge.recipe.racks,
                number if problem.rules.easier else before,
                len(own),
            )
            found[where, lot_index] = Weighed(
                draft=charge,
                letter="" if whole else "ABCDEFGH"[number],
                first_rack=first_rack[where, lot_index],
                field_g=share(problem, lot, lot.field_g, which_racks),
                prepared_g=share(problem, lot, lot.prepared_g, which_racks),
                wash_line_id=places.wash_line((where, charge)),
                tables=places.tables((where, charge)),
                steamers=places.steamers((where, charge)),
                bench_id=places.bench((where, charge)),
            )
            before += charge.recipe.racks
    return found


def first_racks(drafts: list[DraftRun]) -> dict[tuple[Key, int], int]:
    """By run and lot: the first rack of each charge, in the draft's order."""
    found: dict[tuple[Key, int], int] = {}
    for run in drafts:
        rack = 1
        for charge in run.charges:
            found[run.key, charge.lot] = rack
            rack += charge.recipe.racks
    return found


def in_full(shared: Kitchenful, draft: DraftRun, charges: tuple[Charge, ...], name: str) -> Run:
    """One run with its charges, in the draft's order."""
    problem = shared.problem
    dryer = problem.dryers[draft.dryer]
    end = draft.start + draft.drying
    release = problem.release(end)
    washed = draft.wash_down
    return Run(
        id=name,
        dryer_id=dryer.id,
        set_point_c=_set_point(shared, draft),
        start=shared.at(draft.start),
        end=shared.at(end),
        released=shared.at(end if release is None else release),
        unload=None if problem.rules.easier else shared.span(draft.unload, dryer.unload),
        wash_down=None if washed is None else shared.span(washed, dryer.wash_down),
        charges=charges,
    )


def _set_point(shared: Kitchenful, draft: DraftRun) -> float:
    """The mean of what the cards ask for, as far as every card and the dryer tolerate it."""
    asked, problem = shared.asked, shared.problem
    coolest, hottest = problem.climate(draft)
    notes = [asked.note(problem.lots[charge.lot].note_id) for charge in draft.charges]
    wanted = [asked.card(note.card_id).set_point_c for note in notes]
    mean = round(10 * sum(wanted) / len(wanted))
    return min(max(mean, coolest), hottest) / 10


def run_needs(run: Run) -> Iterable[Need]:
    """The hands for unloading and washing down."""
    if run.unload is not None:
        yield Need(run.unload, "unload", run.dryer_id, run.id)
    if run.wash_down is not None:
        yield Need(run.wash_down, "wash-down", run.dryer_id, run.id)


def pair_duties(shared: Kitchenful, its: Weighed, charge: Charge) -> Iterator[Duty]:
    """What the grower's own pair minds."""
    for steamer_id, span in list(shared.attended(charge))[:1]:
        start = shared.pair_from(its, span)
        if start < span.end:
            grower = shared.note(its).grower_id
            yield Duty(grower, "steam", steamer_id, charge.code, Span(start, span.end))


def waiting(lot: Lot, runs: Iterable[Run]) -> Iterator[Waiting]:
    """What of a lot has no place in those runs."""
    own = [c for run in runs for c in run.charges if c.note_id == lot.note_id]
    prepared = lot.prepared_g - sum(charge.prepared_g for charge in own)
    field = lot.field_g - sum(charge.field_g for charge in own)
    if prepared:
        yield Waiting(lot.note_id, Grams(field), Grams(prepared))
