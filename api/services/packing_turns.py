"""Packing turns of lots that are not ready in time: moved to where they fit, or called off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Literal

from api.records.plans import STANDS, KeptTurn
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.back_to_dryer import Way, packed_from, packing_span, unloaded
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.turn import Turn
from scheduler.turns import called_off

Became = Literal["none", "stays", "moved", "called off"]


@dataclass(frozen=True, slots=True)
class Packing:
    """What became of the packing turn of racks that dry on. before: as it was, None where they had
    none; after: as it is."""

    became: Became
    before: Turn | None = None
    after: Turn | None = None


def packing_of(book: Book, note_id: str, code: str) -> KeptTurn | None:
    """The packing turn that stands of that charge, or of its note where it has only one."""
    found = book.turns.where(note_id=note_id, kind="packing", state=STANDS)
    own = [each for each in found if each.subject == code]
    if own or len(found) == 1:
        return (own or list(found))[0]
    return None


def after_drying_on(
    book: Book, asked: Asked, turn: KeptTurn | None, *, card: ProcessCard, way: Way
) -> Packing:
    """Where it stands once the racks are out again; nothing is kept yet."""
    if turn is None:
        return Packing("none")
    latest = unloaded(way) + timedelta(seconds=card.pack_within_s)
    within = Span(packed_from(asked, card, way), latest)
    if within.contains(turn.turn.span):
        return Packing("stays", turn.turn, turn.turn)
    found = packing_span(
        asked,
        turn.whose,
        within,
        lasts_s=turn.turn.span.seconds,
        taken=_taken(book, asked, turn),
    )
    if found is None:
        return Packing("called off", turn.turn)
    return Packing("moved", turn.turn, replace(turn.turn, start=found.start, end=found.end))


def keep_packing(book: Book, doing: Doing, turn: KeptTurn | None, packing: Packing) -> Packing:
    """As it was found: calendars hear of what changed."""
    if turn is None or packing.became in ("none", "stays"):
        return packing
    at = doing.at
    if packing.after is None:
        gone = called_off(turn.turn, "stood down", at=at)
        book.turns.replace(KeptTurn.of(turn.week, gone))
        return packing
    moved = replace(packing.after, sequence=turn.sequence + 1, changed_at=at)
    book.turns.replace(KeptTurn.of(turn.week, moved))
    return replace(packing, after=moved)


def _taken(book: Book, asked: Asked, own: KeptTurn) -> list[Span]:
    """When no bench is free, or the grower has another turn of hers."""
    turns = [each for each in book.turns.where(week=asked.week, state=STANDS) if each != own]
    hers = [each.turn.span for each in turns if each.whose == own.whose]
    packing = [each.turn.span for each in turns if each.kind == "packing"]
    benches = {each.id for each in asked.kitchen.benches}
    far = asked.staffed()[-1].end if asked.staffed() else own.end
    packing += [
        Span(each.stopped, each.back or far)
        for each in book.outages.where(station_id=tuple(benches))
    ]
    return hers + [
        each
        for each in packing
        if sum(each.overlaps(other) for other in packing if other is not each) >= len(benches) - 1
    ]
