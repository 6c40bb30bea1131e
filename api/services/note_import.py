"""Many notes at once: every row taken or refused by itself, and told which."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from api.records.notes import ASKING
from api.services import bounds
from api.services.deeds import keep_deed
from api.services.house import zone_of
from api.services.notes import House, Said, as_note, house_of, keep_note
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault
from scheduler.scenario.called import read_called
from scheduler.scenario.hours import instant
from scheduler.scenario.rows import CalledRow
from scheduler.scenario.tables import Numbered
from scheduler.units import Grams, grams


@dataclass(frozen=True, slots=True)
class RowReport:
    """What became of one row: the note it is, or what is wrong with it."""

    row: int
    note_id: str | None
    faults: tuple[InputFault, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """What was handed in, read while the book is closed: rows in bounds, and the others."""

    file: str
    rows: tuple[tuple[Numbered[CalledRow], Said], ...]
    refused: tuple[RowReport, ...]


def zone_for_import(book: Book, doing: Doing) -> ZoneInfo:
    """By whose clock the rows are read; NotAllowed for who may not import."""
    must(doing, Act.IMPORT_NOTES)
    return zone_of(book)


def read_table(content: bytes, file: str, zone: ZoneInfo) -> Table:
    """Every row within the bounds of a note; BadInput where the table as a whole is no table."""
    rows, faults = read_called(content, file)
    whole = tuple(each for each in faults if each.row in (None, 1))
    if whole:
        raise BadInput(whole)
    faults += [fault for each in rows for fault in _out_of_bounds(each, zone)]
    wrong = {each.row: tuple(f for f in faults if f.row == each.row) for each in faults}
    return Table(
        file=file,
        rows=tuple((each, _said(each.row, zone)) for each in rows if each.number not in wrong),
        refused=tuple(RowReport(row, None, told) for row, told in wrong.items() if row is not None),
    )


def _out_of_bounds(numbered: Numbered[CalledRow], zone: ZoneInfo) -> Iterator[InputFault]:
    row = numbered.row
    if row.field_g > grams(bounds.MOST_KG):
        yield numbered.fault("field_g", f"is more than {bounds.MOST_KG:,} kg")
    for field, at in (("arrives", row.arrives), ("latest_start", row.latest_start)):
        if at is not None and not _in_bounds(at, zone):
            message = f"must be of a year from {bounds.FIRST_YEAR} to {bounds.LAST_YEAR - 1}"
            yield numbered.fault(field, message)
    for field, name in (("grower_id", row.grower_id), ("card_id", row.card_id)):
        if not re.search(bounds.NAME, name):
            yield numbered.fault(field, "is not a name: at most 60 characters, no blank, no slash")
    if len(row.remark) > bounds.MOST_CHARACTERS or not re.search(bounds.CLEAN, row.remark):
        message = f"must be plain text of at most {bounds.MOST_CHARACTERS} characters"
        yield numbered.fault("remark", message)


def _in_bounds(at: datetime, zone: ZoneInfo) -> bool:
    """The year first: at the ends of the calendar no instant can be reckoned."""
    near = bounds.FIRST_YEAR <= at.year < bounds.LAST_YEAR
    return near and bounds.FIRST <= instant(at, zone) < bounds.END


def _said(row: CalledRow, zone: ZoneInfo) -> Said:
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


def import_notes(book: Book, doing: Doing, table: Table) -> tuple[RowReport, ...]:
    """Every row that is in order is noted; one that asks already is told, not noted again."""
    must(doing, Act.IMPORT_NOTES)
    house = house_of(book)
    taken = [_taken(book, doing, house, *each) for each in table.rows]
    keep_deed(book, doing, Act.IMPORT_NOTES, table.file, rows=len(taken) + len(table.refused))
    return tuple(sorted((*taken, *table.refused), key=lambda each: each.row))


def _taken(
    book: Book, doing: Doing, house: House, numbered: Numbered[CalledRow], said: Said
) -> RowReport:
    known = book.notes.where(
        week=Week.of(said.arrives.astimezone(house.zone).date()),
        grower_id=said.grower_id,
        card_id=said.card_id,
        field_g=said.field_g,
        arrives=said.arrives,
        state=ASKING,
    )
    if known:
        return RowReport(numbered.number, known[0].id)
    try:
        entry = keep_note(book, doing, as_note(book, doing, said, house=house), answer=None)
    except BadInput as error:
        placed = (numbered.fault(each.field or "", each.message) for each in error.faults)
        return RowReport(numbered.number, None, tuple(placed))
    return RowReport(numbered.number, entry.id)
