"""Standing lots: those that come every week, noted anew for each."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from api.records.notes import NoteEntry, StandingLot
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.house import zone_of
from api.services.notes import Said, as_note, keep_note, week_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week, local_instant
from scheduler.domain.harvest import HarvestNote
from scheduler.errors import BadInput, InputFault
from scheduler.plan_file import value_from_json


def standing_lots(book: Book, doing: Doing) -> tuple[StandingLot, ...]:
    """All of them, those that have ended too."""
    must(doing, Act.KEEP_STANDING)
    return book.standing_lots.where()


def keep_standing(book: Book, doing: Doing, lot: StandingLot) -> StandingLot:
    """A new one; BadInput for a grower or card that is not in the book."""
    must(doing, Act.KEEP_STANDING)
    _ends_after_it_begins(lot)
    as_note(book, doing, _said(book, lot, lot.first))
    keep_deed(book, doing, Act.KEEP_STANDING, lot.grower_id, lot=lot)
    return book.standing_lots.add(lot)


def end_standing(book: Book, doing: Doing, number: int, last: Week) -> StandingLot:
    """It comes for the last time in that week; BadInput where it would not have begun."""
    must(doing, Act.KEEP_STANDING)
    found = book.standing_lots.find(number)
    if found is None:
        raise NoSuchThing(f"there is no standing lot {number}")
    ended = replace(found, last=last, version=found.version + 1)
    _ends_after_it_begins(ended)
    book.standing_lots.replace(ended)
    keep_deed(book, doing, Act.KEEP_STANDING, str(number), last=last)
    return ended


def _ends_after_it_begins(lot: StandingLot) -> None:
    if lot.last is not None and lot.last < lot.first:
        told = InputFault("standing lot", None, "last", "is before it comes for the first time")
        raise BadInput((told,))


def call_standing(book: Book, doing: Doing, week: Week) -> tuple[NoteEntry, ...]:
    """Note every standing lot of the week that is not noted yet; those that were.

    NotNow for a week that is over.
    """
    must(doing, Act.KEEP_STANDING)
    if week < week_of(book, doing.at):
        raise NotNow(f"{week} is over; nothing is noted for it")
    noted = {_as_called(book, each) for each in book.notes.where(week=week, standing=True)}
    wanted = [
        _said(book, lot, week)
        for lot in book.standing_lots.where()
        if lot.first <= week and (lot.last is None or week <= lot.last)
    ]
    return tuple(
        keep_note(book, doing, as_note(book, doing, said), answer=None)
        for said in wanted
        if (said.grower_id, said.card_id, said.arrives) not in noted
    )


def _as_called(book: Book, entry: NoteEntry) -> tuple[str, str, datetime]:
    """Whose, what and when, as it was noted first: it may have been moved since."""
    found = book.deeds.where(act=str(Act.NOTE), subject=entry.id)
    note = value_from_json(HarvestNote, found[0].told["note"], entry.id) if found else entry.note
    return note.grower_id, note.card_id, note.arrives


def _said(book: Book, lot: StandingLot, week: Week) -> Said:
    day = week.monday + timedelta(days=lot.weekday)
    return Said(
        grower_id=lot.grower_id,
        card_id=lot.card_id,
        field_g=lot.field_g,
        arrives=local_instant(day, lot.at, zone_of(book)),
        may_split=lot.may_split,
        second_pair=lot.second_pair,
        remark=lot.remark,
        standing=True,
    )
