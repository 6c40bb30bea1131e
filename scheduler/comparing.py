"""Two plans of one week side by side: who moves from when to when, who gains or loses a place,
what it costs."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import pairwise
from typing import Literal

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan, Run
from scheduler.domain.turn import TurnKind
from scheduler.process import money
from scheduler.started import all_runs
from scheduler.turns import turns_of
from scheduler.units import Grams, Seconds

WHENEVER = datetime(2000, 1, 1, tzinfo=UTC)  # when turns were changed does not matter here
ChangeKind = Literal["gains a place", "loses its place", "gains weight", "loses weight", "moves"]


@dataclass(frozen=True, slots=True)
class Stands:
    """A note in a plan: its runs (dryer, start), its grower's turns, the field weight placed."""

    runs: tuple[tuple[str, datetime], ...]
    turns: tuple[tuple[TurnKind, Span], ...]
    placed_g: Grams


@dataclass(frozen=True, slots=True)
class NoteChange:
    """One note that does not stand in both plans alike."""

    note_id: str
    kind: ChangeKind
    before: Stands
    after: Stands


@dataclass(frozen=True, slots=True)
class Costs:
    """worth_g: prepared grams placed. fees: of all growers, in minor units, bags aside. dryer_s:
    hours of drying. nights: between two staffed days with a run drying or in cool hold."""

    worth_g: Grams
    placed: int
    fees: int
    dryer_s: Seconds
    runs: int
    nights: int


@dataclass(frozen=True, slots=True)
class Compared:
    changes: tuple[NoteChange, ...]  # in order of call
    same: int  # notes that stand alike in both, or wait in both
    before: Costs
    after: Costs


@dataclass(frozen=True, slots=True)
class GrowerChange:
    """Field weight of one grower that has a place; notes of hers that gain one, or lose it."""

    grower_id: str
    before_g: Grams
    after_g: Grams
    gains: tuple[str, ...]
    loses: tuple[str, ...]


def by_grower(asked: Asked, found: Compared) -> tuple[GrowerChange, ...]:
    """Those for whom more or less has a place, who loses most first."""
    own: dict[str, list[NoteChange]] = {}
    for each in found.changes:
        if each.kind != "moves":
            own.setdefault(asked.note(each.note_id).grower_id, []).append(each)
    changes = (_of_grower(grower_id, changes) for grower_id, changes in own.items())
    return tuple(sorted(changes, key=lambda each: (each.after_g - each.before_g, each.grower_id)))


def _of_grower(grower_id: str, changes: list[NoteChange]) -> GrowerChange:
    return GrowerChange(
        grower_id,
        Grams(sum(each.before.placed_g for each in changes)),
        Grams(sum(each.after.placed_g for each in changes)),
        tuple(each.note_id for each in changes if each.kind.startswith("gains")),
        tuple(each.note_id for each in changes if each.kind.startswith("loses")),
    )


def compared(before: tuple[Asked, Plan], after: tuple[Asked, Plan]) -> Compared:
    """Notes of both plans, those of the later first in order of call. A run that had started when
    one of them was made counts in both as the other has it, else as it is on record."""
    before, after = _whole(*before, other=after[1]), _whole(*after, other=before[1])
    old, new = _stands(*before), _stands(*after)
    ids = dict.fromkeys(note.id for asked, _ in (after, before) for note in asked.notes)
    nowhere = Stands((), (), Grams(0))
    pairs = [(each, old.get(each, nowhere), new.get(each, nowhere)) for each in ids]
    changes = tuple(
        NoteChange(note_id, kind, was, now)
        for note_id, was, now in pairs
        if (kind := _kind(was, now)) is not None
    )
    return Compared(changes, len(ids) - len(changes), _costs(*before), _costs(*after))


def _whole(asked: Asked, plan: Plan, *, other: Plan) -> tuple[Asked, Plan]:
    """With the runs and duties of what is under way and so has no place in the plan."""
    started = {charge.note_id for run in asked.happened.runs for charge in run.charges}
    started -= {charge.note_id for _, charge in plan.charges()}
    parts = {part.note_id for part in plan.part_lots}  # they dry on elsewhere
    known = {charge.note_id for _, charge in other.charges()} & (started - parts)
    on_record = (run for run in all_runs(asked, plan) if run not in plan.runs)
    runs = (*_holding(known, other.runs), *_holding(started - known, on_record))
    codes = {charge.code for run in runs for charge in run.charges if charge.note_id in known}
    duties = (each for each in other.duties if each.subject in codes)
    return asked, replace(plan, runs=(*plan.runs, *runs), duties=(*plan.duties, *duties))


def _holding(note_ids: Collection[str], runs: Iterable[Run]) -> Iterator[Run]:
    """Runs with those of their charges alone."""
    for run in runs:
        charges = tuple(each for each in run.charges if each.note_id in note_ids)
        if charges:
            yield replace(run, charges=charges)


def _kind(old: Stands, new: Stands) -> ChangeKind | None:
    if old == new:
        return None
    if not old.runs or not new.runs:
        return "gains a place" if new.runs else "loses its place"
    if old.placed_g == new.placed_g:
        return "moves"
    return "gains weight" if old.placed_g < new.placed_g else "loses weight"


def _stands(asked: Asked, plan: Plan) -> dict[str, Stands]:
    turns: dict[str, list[tuple[TurnKind, Span]]] = {}
    for turn in turns_of(asked, plan, at=WHENEVER):
        turns.setdefault(turn.note_id, []).append((turn.kind, turn.span))
    runs: dict[str, list[tuple[str, datetime]]] = {}
    placed: dict[str, int] = {}
    for run, charge in plan.charges():
        runs.setdefault(charge.note_id, []).append((run.dryer_id, run.start))
        placed[charge.note_id] = placed.get(charge.note_id, 0) + charge.field_g
    return {
        note_id: Stands(
            tuple(sorted(own, key=lambda each: (each[1], each[0]))),
            tuple(sorted(turns.get(note_id, []), key=lambda each: each[1])),
            Grams(
                min(placed[note_id], asked.note(note_id).field_g)
            ),  # of a part-lot, it is told whole
        )
        for note_id, own in runs.items()
    }


def _costs(asked: Asked, plan: Plan) -> Costs:
    placed = {charge.note_id for _, charge in plan.charges()}
    return Costs(
        worth_g=plan.worth_g,
        placed=len(placed),
        fees=sum(_fees(asked, plan, note_id) for note_id in placed),
        dryer_s=Seconds(sum(Span(run.start, run.end).seconds for run in plan.runs)),
        runs=len(plan.runs),
        nights=sum(_is_used(plan, night) for night in _nights(asked)),
    )


def _fees(asked: Asked, plan: Plan, note_id: str) -> int:
    note, kitchen = asked.note(note_id), asked.kitchen
    own = [each for each in plan.charges() if each[1].note_id == note_id]
    usage = money.usage_of(note, asked.card(note.card_id), kitchen.cold_store, placed=own)
    member = asked.grower(note.grower_id).shares > 0
    return money.total(money.fee_lines(usage, kitchen.fees, zone=kitchen.zone, member=member))


def _nights(asked: Asked) -> Iterator[Span]:
    """From the last closing of a day to the next opening."""
    spans = asked.staffed()
    zone = asked.kitchen.zone
    for one, then in pairwise(spans):
        if one.end < then.start and one.start.astimezone(zone).date() != (
            then.start.astimezone(zone).date()
        ):
            yield Span(one.end, then.start)


def _is_used(plan: Plan, night: Span) -> bool:
    return any(Span(run.start, run.released).overlaps(night) for run in plan.runs)
