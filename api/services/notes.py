"""Harvest notes: taken in, changed, carried over, ended."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from api.records.notes import ASKING, NoteEntry, NoteState, note_fields
from api.records.plans import STANDS
from api.services.deeds import keep_deed
from api.services.errors import NotNow
from api.services.house import card_of, grower_of, zone_of
from api.services.ports import Book
from api.services.roles import Act, Doing, seen, whose
from api.services.telling import tell_of_carrying, tell_of_end
from api.services.turns import end_turns
from api.services.versions import same_version
from api.services.weeks import next_called, notes_changed
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.errors import BadInput, InputFault
from scheduler.papers import papers_short
from scheduler.units import Grams

ENDS: dict[NoteState, Act] = {
    "let go": Act.CHANGE_NOTE,
    "stood down": Act.STAND_DOWN,
    "no-show": Act.DOOR,
}
MOST_CALLED = 40  # characters of the grower in the name of a note
_MAY_CHANGE: tuple[NoteState, ...] = ("noted", "pencilled", "firm")
_PROMISED = ("field_g", "arrives", "latest_start")  # what a firm place was found for
_KEEPS: dict[NoteState, tuple[NoteState, ...]] = {
    "let go": _MAY_CHANGE,
    "stood down": _MAY_CHANGE,
    "no-show": ("firm", "pencilled"),
}


@dataclass(frozen=True, slots=True)
class Said:
    """What a grower says of a harvest; without a latest start it is arrival + keeping time."""

    grower_id: str
    card_id: str
    field_g: Grams
    arrives: datetime
    latest_start: datetime | None = None
    may_split: bool = True
    second_pair: bool = False
    remark: str = ""
    standing: bool = False


@dataclass(frozen=True, slots=True)
class SeenNote:
    """A note as people are shown it: with the papers that are short, by the kitchen's clock."""

    entry: NoteEntry
    papers_short: tuple[str, ...]
    zone: ZoneInfo


def as_seen(book: Book, doing: Doing, entries: Sequence[NoteEntry]) -> tuple[SeenNote, ...]:
    """Each with what keeps it from being firm on the days of its turns (rule 15); where it has
    none, on the day it arrives.

    Growers are not told against which plan they were answered: it may not be posted.
    """
    zone, own = zone_of(book), doing.person.grower_id is not None
    turns = book.turns.where(note_id=tuple(each.id for each in entries), state=STANDS)
    found = []
    for entry in entries:
        starts = [turn.start for turn in turns if turn.note_id == entry.id] or [entry.arrives]
        days = {start.astimezone(zone).date() for start in starts}
        grower, card = grower_of(book, entry.grower_id), card_of(book, entry.card_id)
        if own and entry.answer is not None:
            entry = replace(entry, answer=entry.answer | {"against_plan": None})  # noqa: PLW2901
        found.append(SeenNote(entry, papers_short(grower, card, days), zone))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class House:
    """What a note is held against, fetched once for many."""

    zone: ZoneInfo
    growers: frozenset[str]
    keeping: Mapping[str, timedelta]


def _house_for(book: Book, said: Said) -> House:
    """No more of it than that one needs."""
    grower, card = book.growers.find(said.grower_id), book.cards.find(said.card_id)
    keeping = {} if card is None else {card.id: timedelta(seconds=card.card.keeping_s)}
    return House(zone_of(book), frozenset(() if grower is None else (grower.id,)), keeping)


def house_of(book: Book) -> House:
    """The kitchen's clock, who its growers are, and how long the crop of each card keeps."""
    keeping = {each.id: timedelta(seconds=each.card.keeping_s) for each in book.cards.where()}
    return House(zone_of(book), frozenset(each.id for each in book.growers.where()), keeping)


def as_note(book: Book, doing: Doing, said: Said, *, house: House | None = None) -> HarvestNote:
    """The note that it would be; BadInput with every fault, NotAllowed for another grower's."""
    own = whose(doing, Act.NOTE)
    house = house or _house_for(book, said)
    _no_faults(house, said, own)
    return HarvestNote(
        id=_next_id(book, said.grower_id),
        grower_id=said.grower_id,
        card_id=said.card_id,
        field_g=said.field_g,
        arrives=said.arrives,
        latest_start=said.latest_start or said.arrives + house.keeping[said.card_id],
        may_split=said.may_split,
        second_pair=said.second_pair,
        standing=said.standing,
        remark=said.remark,
    )


def _no_faults(house: House, said: Said, own: str | None) -> None:
    """Another grower is as unknown to a grower as one who is not there."""
    faults = []
    stranger = own is not None and said.grower_id != own
    if stranger or said.grower_id not in house.growers:
        faults.append(("grower_id", f"there is no grower {said.grower_id}"))
    if said.card_id not in house.keeping:
        faults.append(("card_id", f"there is no process card {said.card_id}"))
    if said.latest_start is not None and said.latest_start < said.arrives:
        faults.append(("latest_start", "is before it arrives"))
    if faults:
        raise BadInput(tuple(InputFault("note", None, field, told) for field, told in faults))


def _next_id(book: Book, grower_id: str) -> str:
    """G01-7, counted for each grower by herself: her ids are not to tell how much others note."""
    called = re.sub(r"[^\w.-]", "", grower_id)[:MOST_CALLED]
    last = book.notes.last(grower_id=grower_id)
    counted = re.fullmatch(rf"{re.escape(called)}-(\d+)", last.id) if last else None
    number = int(counted[1]) + 1 if counted else 1
    while book.notes.find(f"{called}-{number}") is not None:
        number += 1
    return f"{called}-{number}"


def keep_note(
    book: Book, doing: Doing, note: HarvestNote, *, answer: dict[str, Any] | None
) -> NoteEntry:
    """The note with its place in the order of call, and the answer that was told."""
    entry = NoteEntry(
        **note_fields(replace(note, id=_next_id(book, note.grower_id))),
        called=next_called(book),
        week=week_of(book, note.arrives),
        state="noted",
        noted_at=doing.at,
        noted_by=doing.person.id,
        answer=answer,
    )
    notes_changed(book, entry.week)
    keep_deed(book, doing, Act.NOTE, entry.id, note=note)
    return book.notes.add(entry)


def week_of(book: Book, at: datetime) -> Week:
    """The ISO week of an instant, by the kitchen's clock."""
    return Week.of(at.astimezone(zone_of(book)).date())


def notes(
    book: Book, doing: Doing, *, week: Week | None, after: str | None, limit: int | None
) -> tuple[NoteEntry, ...]:
    """Notes in order of call, those of a week or all; a grower's own only.

    after: the note that they are called behind, one that she may see; a place in the order of call
    would tell her how many there are.
    """
    own = whose(doing, Act.READ_NOTES)
    equals: dict[str, Any] = {} if own is None else {"grower_id": own}
    if week is not None:
        equals["week"] = week
    behind = None if after is None else note(book, doing, after).called
    return book.notes.where(after=behind, limit=limit, **equals)


def note(book: Book, doing: Doing, note_id: str, act: Act = Act.READ_NOTES) -> NoteEntry:
    """One note; NoSuchThing where there is none to be seen."""
    found = book.notes.last(id=note_id)
    return seen(doing, act, found, f"note {note_id}")


def change(
    book: Book, doing: Doing, note_id: str, *, version: int, to: dict[str, Any]
) -> NoteEntry:
    """Other weight, times, remark or helpers; the note keeps its place in the order of call."""
    found = note(book, doing, note_id, Act.CHANGE_NOTE)
    same_version(version, found.version, f"note {note_id}")
    _must_be(found, _MAY_CHANGE)
    changed = replace(found, **_same_span(found, to), version=found.version + 1)
    _must_keep_promise(found, changed)
    if changed.latest_start < changed.arrives:
        told = InputFault("note", None, "latest_start", "is before it arrives")
        raise BadInput((told,))
    if week_of(book, changed.arrives) != found.week:
        raise NotNow(f"note {note_id} would be in another week; carry it over instead")
    return _kept(book, doing, found, changed, Act.CHANGE_NOTE)


def change_times(
    book: Book, doing: Doing, note_id: str, *, version: int, arrives: datetime
) -> NoteEntry:
    """It comes at another time, firm or not, and keeps as long as before; what becomes of its place
    is for the caller. NotNow where that would be in another week."""
    found = note(book, doing, note_id, Act.PLACE)
    same_version(version, found.version, f"note {note_id}")
    _must_be(found, _MAY_CHANGE)
    if week_of(book, arrives) != found.week:
        raise NotNow(f"note {note_id} would be in another week; carry it over instead")
    to = _same_span(found, {"arrives": arrives})
    changed = replace(found, **to, version=found.version + 1)
    return _kept(book, doing, found, changed, Act.PLACE)


def unplaced(book: Book, note_id: str) -> None:
    """It has no place any longer, and asks for one again."""
    found = book.notes.last(id=note_id)
    if found is not None and found.state in ("firm", "pencilled"):
        book.notes.replace(replace(found, state="noted", version=found.version + 1))


def _same_span(found: NoteEntry, to: dict[str, Any]) -> dict[str, Any]:
    """Who says only that it arrives at another time has it keep as long as before."""
    if "arrives" not in to or "latest_start" in to:
        return to
    return to | {"latest_start": to["arrives"] + (found.latest_start - found.arrives)}


def _must_keep_promise(found: NoteEntry, changed: NoteEntry) -> None:
    if found.state == "firm" and any(
        getattr(found, name) != getattr(changed, name) for name in _PROMISED
    ):
        raise NotNow(
            f"note {found.id} is firm: its weight and times are promised;"
            " let it go and note anew, or tell the kitchen"
        )


def end(book: Book, doing: Doing, note_id: str, *, version: int, state: NoteState) -> NoteEntry:
    """Let go by the grower, stood down by the kitchen, or nobody came; its turns end with it, and
    its grower hears of it."""
    act = ENDS[state]
    found = note(book, doing, note_id, act)
    same_version(version, found.version, f"note {note_id}")
    _must_be(found, _KEEPS[state])
    end_turns(book, doing, note_id, "let go" if state == "let go" else "stood down")
    changed = replace(found, state=state, version=found.version + 1)
    tell_of_end(book, doing, changed)
    return _kept(book, doing, found, changed, act)


def carry_over(
    book: Book, doing: Doing, note_id: str, *, version: int, arrives: datetime
) -> NoteEntry:
    """The note ends here and begins anew in another week, as fresh as it was; the new one."""
    found = note(book, doing, note_id, Act.CARRY_OVER)
    same_version(version, found.version, f"note {note_id}")
    _must_be(found, _MAY_CHANGE)
    if week_of(book, arrives) <= found.week:
        raise NotNow(f"note {note_id} is of {found.week}; carry it over into a later week")
    end_turns(book, doing, note_id, "stood down")
    gone = replace(found, state="carried over", version=found.version + 1)
    _kept(book, doing, found, gone, Act.CARRY_OVER)
    latest = arrives + (found.latest_start - found.arrives)
    anew = replace(found.note, arrives=arrives, latest_start=latest)
    entry = keep_note(book, doing, anew, answer=None)
    tell_of_carrying(book, doing, gone, entry)
    return entry


def _must_be(found: NoteEntry, states: tuple[NoteState, ...]) -> None:
    if found.state not in states:
        raise NotNow(f"note {found.id} is {found.state}; that can no longer be done")


def _kept(book: Book, doing: Doing, before: NoteEntry, after: NoteEntry, act: Act) -> NoteEntry:
    book.notes.replace(after)
    notes_changed(book, after.week)
    keep_deed(book, doing, act, after.id, before=_told(before), after=_told(after))
    return after


def _told(entry: NoteEntry) -> dict[str, Any]:
    return {
        "state": entry.state,
        "field_g": entry.field_g,
        "arrives": entry.arrives,
        "remark": entry.remark,
    }


def asking_notes(book: Book, week: Week) -> tuple[NoteEntry, ...]:
    """The notes of a week that still ask for a place, in order of call."""
    return book.notes.where(week=week, state=ASKING)
