"""Many notes handed in at once, as CSV or as a spreadsheet: rows in order, and faults by row."""

from __future__ import annotations

import io
from datetime import date, datetime
from typing import Any
from zipfile import ZipFile

from openpyxl import load_workbook

from scheduler.errors import InputFault
from scheduler.scenario.rows import CalledRow
from scheduler.scenario.tables import Numbered, checked_rows, csv_rows

MOST_ROWS, MOST_COLUMNS = 2_000, 50  # many times a season's notes and their columns
MOST_UNPACKED = 50_000_000  # bytes: a spreadsheet that unpacks to more was not meant
_ZIP = b"PK\x03\x04"  # how every .xlsx begins


def read_called(content: bytes, file: str) -> tuple[list[Numbered[CalledRow]], list[InputFault]]:
    """Rows with the columns of harvest_notes.csv, from CSV in UTF-8 or the first sheet of .xlsx."""
    faults: list[InputFault] = []
    rows = (
        _sheet(content, file, faults) if content.startswith(_ZIP) else _text(content, file, faults)
    )
    if not rows:
        return [], faults or [InputFault(file, None, None, "is empty")]
    if len(rows) > MOST_ROWS:
        return [], [InputFault(file, None, None, f"has more than {MOST_ROWS} rows")]
    return checked_rows(rows, file, CalledRow, faults), faults


def _text(content: bytes, file: str, faults: list[InputFault]) -> list[list[str]] | None:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = f"is not UTF-8 (byte {error.start + 1}); save it again as UTF-8"
        faults.append(InputFault(file, None, None, message))
        return None
    return csv_rows(text, file, faults)


def _sheet(content: bytes, file: str, faults: list[InputFault]) -> list[list[str]] | None:
    try:
        if sum(part.file_size for part in ZipFile(io.BytesIO(content)).infolist()) > MOST_UNPACKED:
            faults.append(InputFault(file, None, None, "is too large"))
            return None
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        return _rows(book.worksheets[0])
    except Exception:  # openpyxl raises whatever it stumbles over
        faults.append(InputFault(file, None, None, "is not a spreadsheet that can be read"))
        return None


def _rows(sheet: Any) -> list[list[str]]:
    """Of all rows that there are, whatever size the sheet says it has, one more than may be."""
    rows: list[list[str]] = []
    sheet.reset_dimensions()
    for number, values in enumerate(sheet.iter_rows(max_col=MOST_COLUMNS, values_only=True)):
        if any(value is not None for value in values):
            rows += [[]] * (number - len(rows))  # rows keep their numbers
            rows.append(_without_tail([_cell(value) for value in values]))
        if len(rows) > MOST_ROWS:
            break
    return rows


def _without_tail(row: list[str]) -> list[str]:
    """Empty cells behind the last one are a spreadsheet's habit."""
    while row and not row[-1]:
        row.pop()
    return row


def _cell(value: object) -> str:
    """A cell as it would stand in a CSV table."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)
