"""What a waiting note's remedy comes to, where it can be done at once: to the note, to the
kitchen's hours, to what is wished by hand, or by laying out for longer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from api.records.notes import NoteEntry
from api.records.plans import KeptPlan
from api.services.errors import NotNow
from api.services.plans import plan_for
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.plan import Waiting
from scheduler.domain.rules import FULL
from scheduler.reasons.changes import Change, later_starts, racks_of, splits
from scheduler.reasons.more import a_dryer_more, a_station_more, an_hour_more
from scheduler.reasons.sentences import LONGER, would_fit
from scheduler.reasons.wished import without_wishes


@dataclass(frozen=True, slots=True)
class Remedy:
    """longer: the week is laid out again with more seconds. to: what of the note is changed. hours:
    what of the kitchen is, its hours and shifts of one weekday. wishes: the numbers of those let go
    of. more: the ids of stations that are of the kind that there should be one more of; no press
    makes one. spoils: it would start later than its process card keeps the crop; no press does so.
    """

    longer: bool = False
    to: dict[str, Any] = field(default_factory=dict)
    hours: dict[str, Any] = field(default_factory=dict)
    wishes: tuple[int, ...] = ()
    more: tuple[str, ...] = ()
    spoils: bool = False


def waiting_in(
    book: Book, doing: Doing, number: int | None
) -> tuple[KeptPlan, dict[str, NoteEntry]] | None:
    """That version of a plan, else the one laid out last, and the notes that wait in it as they
    are now; None where there is no plan at all."""
    newest = book.plans.newest()
    if number is None and newest is None:
        return None
    kept = plan_for(book, doing, number or (newest.number if newest else 0))
    ids = tuple(each.note_id for each in kept.plan.waiting)
    return kept, {each.id: each for each in book.notes.where(id=ids)} if ids else {}


def remedy_of(asked: Asked, waiting: Waiting) -> Remedy | None:
    """What the remedy's sentence was made from, found again; None where no press can do it."""
    note = asked.note(waiting.note_id)
    in_part = waiting.field_g < note.field_g

    def is_said(words: str) -> bool:
        return would_fit(words, in_part=in_part) == waiting.remedy

    if is_said(LONGER):
        return Remedy(longer=True)
    for change in later_starts(asked, note):
        if is_said(change.words):
            later = change.to(asked).note(note.id).latest_start
            if later > note.arrives + timedelta(seconds=asked.card(note.card_id).keeping_s):
                return Remedy(spoils=True)
            return Remedy(to={"latest_start": later})
    for change in splits(asked, FULL, note):
        if is_said(change.words) and _is_leave_alone(asked, note, change):
            return Remedy(to={"may_split": True})
    return _of_wishes(asked, note, is_said) or _of_kitchen(asked, note, is_said)


def _of_wishes(asked: Asked, note: HarvestNote, is_said: Callable[[str], bool]) -> Remedy | None:
    for change in without_wishes(asked, note):
        if is_said(change.words):
            left = {each.number for each in change.to(asked).wishes}
            gone = (each.number for each in asked.wishes if each.number not in left)
            return Remedy(wishes=tuple(gone))
    return None


def _of_kitchen(asked: Asked, note: HarvestNote, is_said: Callable[[str], bool]) -> Remedy | None:
    for change in an_hour_more(asked, note):
        if is_said(change.words):
            kitchen = change.to(asked).kitchen
            return Remedy(hours={"staffed": kitchen.staffed, "hands": kitchen.hands})
    for change in (*a_station_more(asked, FULL, note), *a_dryer_more(asked, note)):
        if is_said(change.words):
            return Remedy(more=_of_that_kind(asked.kitchen, change.to(asked).kitchen))
    return None


def _of_that_kind(kitchen: Kitchen, changed: Kitchen) -> tuple[str, ...]:
    """The stations of the kind that the changed kitchen has more of."""
    kinds = ("dryers", "tables", "wash_lines", "steamers", "benches")
    here = next((k for k in kinds if len(getattr(changed, k)) > len(getattr(kitchen, k))), None)
    return tuple(each.id for each in getattr(kitchen, here)) if here else ()


def _is_leave_alone(asked: Asked, note: HarvestNote, change: Change) -> bool:
    """Whether the grower's leave to split is all of it: the card itself is another's to change."""
    card, changed = asked.card(note.card_id), change.to(asked)
    wanted = changed.card(changed.note(note.id).card_id)
    return (
        not note.may_split
        and racks_of(asked, note) >= card.split_from_racks
        and (wanted.least_racks, wanted.most_charges) == (card.least_racks, card.most_charges)
    )


def remedy_for(book: Book, doing: Doing, number: int, note_id: str) -> dict[str, Any]:
    """What of that note is to change; NotNow where it is no longer as the plan knew it."""
    kept = plan_for(book, doing, number)
    waiting = next((each for each in kept.plan.waiting if each.note_id == note_id), None)
    entry = book.notes.last(id=note_id)
    remedy = None if waiting is None else remedy_of(kept.asked, waiting)
    if remedy is None or not remedy.to or entry is None or not still_waits(kept, entry):
        raise NotNow(f"note {note_id} is not as plan {number} knew it; lay out again")
    return remedy.to


def still_waits(kept: KeptPlan, entry: NoteEntry) -> bool:
    """Whether the note is as the plan knew it and may be changed."""
    return entry.state in ("noted", "pencilled") and kept.asked.note(entry.id) == entry.note
