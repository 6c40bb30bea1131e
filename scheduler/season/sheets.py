"""Tables as CSV and as a workbook; no cell of them is ever taken for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import Cell, WriteOnlyCell
from openpyxl.styles import Font

Value = str | int | Decimal | date | datetime | None
RISKY = ("=", "+", "-", "@", "\t", "\r", "\n")  # a spreadsheet reads on from these: CWE-1236
WIDEST = 48


@dataclass(frozen=True, slots=True)
class Table:
    """name: of the file or sheet; a row has a value for every column. Times carry their zone."""

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]


def csv_text(table: Table) -> str:
    """RFC 4180, a header row, CRLF; instants in ISO 8601 with their offset."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(map(_plain, table.columns))
    writer.writerows([_plain(value) for value in row] for row in table.rows)
    return out.getvalue()


def _plain(value: Value) -> str:
    if isinstance(value, str):
        return guarded(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    return "" if value is None else str(value)


def guarded(text: str) -> str:
    """The text, with an apostrophe before what a spreadsheet would take for a formula."""
    return f"'{text}" if text.lstrip(" ").startswith(RISKY) or text.startswith(RISKY) else text


def workbook(tables: Iterable[Table]) -> bytes:
    """An .xlsx with a sheet for each table; text cells are text, whatever they begin with."""
    book = Workbook(write_only=True)
    for table in tables:
        sheet = book.create_sheet(table.name[:31])  # the longest that a sheet may be called
        sheet.freeze_panes = "A2"
        for place, width in enumerate(_widths(table)):
            sheet.column_dimensions[_letters(place)].width = width
        sheet.append([_head(sheet, name) for name in table.columns])
        for row in table.rows:
            sheet.append([_cell(sheet, value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _head(sheet: Any, name: str) -> Cell:
    cell: Cell = WriteOnlyCell(sheet, value=name)
    cell.font = Font(bold=True)
    return cell


def _cell(sheet: Any, value: Value) -> Any:
    """Workbooks know no zones: an instant stands there by its own clock. Only risky text needs a
    cell of its own: each takes time."""
    if isinstance(value, datetime):
        return value.replace(tzinfo=None)
    if not isinstance(value, str) or not value.startswith(RISKY):
        return value if value != "" else None
    cell: Cell = WriteOnlyCell(sheet, value=value)
    cell.data_type = "s"  # never "f"
    cell.quotePrefix = True  # as if typed with an apostrophe
    return cell


def _widths(table: Table) -> list[int]:
    cells = [table.columns, *table.rows[:200]]
    return [
        min(WIDEST, 2 + max(len(str("" if row[place] is None else row[place])) for row in cells))
        for place in range(len(table.columns))
    ]


def _letters(place: int) -> str:
    """A, B ... Z, AA: the column at that place, from 0."""
    high, low = divmod(place, 26)
    return (_letters(high - 1) if high else "") + chr(ord("A") + low)


def decimal(amount: int, scale: int) -> Decimal:
    """A whole amount in small units as an exact decimal: 1234 g at 1000 are 1.234."""
    return Decimal(amount) / Decimal(scale)


def rows(values: Iterable[Sequence[Value]]) -> tuple[tuple[Value, ...], ...]:
    return tuple(tuple(each) for each in values)
