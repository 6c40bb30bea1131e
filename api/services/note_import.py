"""Many notes at once: every row taken or refused by itself, and told which."""

from __future__ import annotations

from dataclasses import dataclass

from api.services.deeds import keep_deed
from api.services.house import zone_of
from api.services.notes import Said, as_note, keep_note, week_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput, InputFault
from scheduler.scenario.called import read_called
from scheduler.scenario.hours import instant
from scheduler.scenario.rows import CalledRow
from scheduler.scenario.tables import Numbered
from scheduler.units import Grams


@dataclass(frozen=True, slots=True)
class RowReport:
    """What became of one row: the note it is, or what is wrong with it."""

    row: int
    note_id: str | None
    faults: tuple[InputFault, ...] = ()


def import_notes(book: Book, doing: Doing, content: bytes, file: str) -> tuple[RowReport, ...]:
    """Every row that is in order is noted; one that is noted already is told, not noted again.

    BadInput where the table as a whole cannot be read.
    """
    must(doing, Act.IMPORT_NOTES)
    rows, faults = read_called(content, file)
    whole = tuple(each for each in faults if each.row in (None, 1))
    if whole:
        raise BadInput(whole)
    found = [_taken(book, doing, each) for each in rows]
    for number in {each.row for each in faults if each.row is not None}:
        found.append(RowReport(number, None, tuple(f for f in faults if f.row == number)))
    keep_deed(book, doing, Act.IMPORT_NOTES, file, rows=len(found))
    return tuple(sorted(found, key=lambda each: each.row))


def _taken(book: Book, doing: Doing, numbered: Numbered[CalledRow]) -> RowReport:
    said = _said(book, numbered.row)
    known = book.notes.where(
        week=week_of(book, said.arrives),
        grower_id=said.grower_id,
        card_id=said.card_id,
        field_g=said.field_g,
        arrives=said.arrives,
    )
    if known:
        return RowReport(numbered.number, known[0].id)
    try:
        entry = keep_note(book, doing, as_note(book, doing, said), answer=None)
    except BadInput as error:
        placed = (numbered.fault(each.field or "", each.message) for each in error.faults)
        return RowReport(numbered.number, None, tuple(placed))
    return RowReport(numbered.number, entry.id)


def _said(book: Book, row: CalledRow) -> Said:
    zone = zone_of(book)
    return Said(
        grower_id=row.grower_id,
        card_id=row.card_id,
        field_g=Grams(row.field_g),
        arrives=instant(row.arrives, zone),
        latest_start=instant(row.latest_start, zone) if row.latest_start else None,
        may_split=row.may_split,
        second_pair=row.second_pair,
        standing=row.standing,
        remark=row.remark,
    )
