"""Many notes handed in at once, as CSV or as a spreadsheet: rows in order, and faults by row."""

from __future__ import annotations

import io
from datetime import date, datetime
from zipfile import BadZipFile, ZipFile

from openpyxl import load_workbook

from scheduler.errors import InputFault
from scheduler.scenario.rows import CalledRow
from scheduler.scenario.tables import Numbered, checked_rows, csv_rows

MOST_ROWS = 2_000
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
    except (BadZipFile, KeyError, ValueError, OSError):
        faults.append(InputFault(file, None, None, "is not a spreadsheet that can be read"))
        return None
    sheet = book.worksheets[0]
    rows = [[_cell(value) for value in row] for row in sheet.iter_rows(values_only=True)]
    while rows and not any(rows[-1]):
        rows.pop()
    return [_without_tail(row, len(rows[0])) for row in rows]


def _without_tail(row: list[str], columns: int) -> list[str]:
    """Empty cells behind the last column are a spreadsheet's habit."""
    while len(row) > columns and not row[-1]:
        row = row[:-1]
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
