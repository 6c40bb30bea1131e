"""A week as it is supposed to be: the same notes, hours and stations, with one thing otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.outage import Outage
from scheduler.domain.supposition import Supposition, SuppositionKind
from scheduler.errors import BadInput, InputFault
from scheduler.replay.changes import (
    BY_KEY,
    least_keeping_first,
    of_kitchen,
    one_more_hand,
    one_more_table,
)

CAUSE = "supposed"
AFRESH: frozenset[SuppositionKind] = frozenset({"order", "keeping"})  # what is firm would hide it
_PLAIN: dict[SuppositionKind, Callable[[Asked], Asked]] = {
    "table": of_kitchen(one_more_table),
    "hand": of_kitchen(one_more_hand),
    "keeping": least_keeping_first,
}


def supposed_week(asked: Asked, what: Supposition) -> Asked:
    """BadInput, with every fault, where the supposition is not about that week."""
    faults = tuple(InputFault("suppose", None, *each) for each in _faults(asked, what))
    if faults:
        raise BadInput(faults)
    if what.kind == "note":
        return _with_note(asked, what)
    if what.kind == "down":
        return _without_dryer(asked, what)
    made = _PLAIN[what.kind] if what.kind in _PLAIN else BY_KEY[what.kind].made
    return made(asked)


def _faults(asked: Asked, what: Supposition) -> Iterator[tuple[str, str]]:
    if what.kind == "note":
        yield from _faults_of_note(asked, what)
    elif what.kind == "down":
        yield from _faults_of_stop(asked, what)
    elif what.kind == "steamer" and not asked.kitchen.steamers:
        yield "kind", "the kitchen has no steamer that another could be like"


def _faults_of_note(asked: Asked, what: Supposition) -> Iterator[tuple[str, str]]:
    note = next((each for each in asked.open_notes() if each.id == what.note_id), None)
    if note is None:
        yield "note_id", f"no note {what.note_id} asks for a place in {asked.week}"
        return
    changed = _changed(note, what)
    if changed == note:
        yield "field_kg", "weight, day or latest start: say at least one that is otherwise"
    local = changed.arrives.astimezone(asked.kitchen.zone).date()
    if what.arrives is not None and local not in asked.week.days:
        yield "arrives", f"is not in {asked.week}"
    if changed.latest_start < changed.arrives:
        yield "latest_start", "must not be before it arrives"


def _faults_of_stop(asked: Asked, what: Supposition) -> Iterator[tuple[str, str]]:
    if all(each.id != what.dryer_id for each in asked.kitchen.dryers):
        yield "dryer_id", f"there is no dryer {what.dryer_id}"
    span, staffed, now = what.span, asked.staffed(), asked.happened.now
    if span is None or span.end <= span.start:
        yield "end", "from when to when? It must end after it starts"
    elif not staffed or not span.overlaps(Span(staffed[0].start, staffed[-1].end)):
        yield "start", f"is not in {asked.week}"
    elif now is not None and span.start < now:
        yield "start", "is over; a stop that has happened is written down under Dryer down"


def _changed(note: HarvestNote, what: Supposition) -> HarvestNote:
    arrives = what.arrives or note.arrives
    latest = what.latest_start or note.latest_start + (arrives - note.arrives)
    field_g = note.field_g if what.field_g is None else what.field_g
    return replace(note, field_g=field_g, arrives=arrives, latest_start=latest)


def _with_note(asked: Asked, what: Supposition) -> Asked:
    notes = (_changed(each, what) if each.id == what.note_id else each for each in asked.notes)
    return replace(asked, notes=tuple(notes))


def _without_dryer(asked: Asked, what: Supposition) -> Asked:
    assert what.span is not None
    stop = Outage(what.dryer_id, what.span.start, what.span.end, CAUSE)
    happened = replace(asked.happened, outages=(*asked.happened.outages, stop))
    return replace(asked, happened=happened)
