"""Reading one CSV table: cells are plain text, rows numbered as a spreadsheet shows them."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from typing import Generic, TypeVar

from pydantic import ValidationError

from scheduler.errors import InputFault
from scheduler.scenario.faults import Checked, as_faults
from scheduler.scenario.quantities import as_spelled, columns

RowModel = TypeVar("RowModel", bound=Checked)
HEADER = 1  # the header's row number


@dataclass(frozen=True, slots=True)
class Numbered(Generic[RowModel]):
    """A row that passed, with its number in the file."""

    file: str
    number: int
    row: RowModel
    cells: Mapping[str, str]

    def fault(self, field: str, message: str) -> InputFault:
        """A fault found later, when tables are compared, under the column that holds the field."""
        return InputFault(self.file, self.number, as_spelled(field, self.cells), message)


def read_text(folder: Traversable, file: str, faults: list[InputFault]) -> str | None:
    """The file's text in UTF-8, or None and a fault."""
    path = folder / file
    if not path.is_file():
        faults.append(InputFault(file, None, None, "the file is missing"))
        return None
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = f"is not UTF-8 (byte {error.start + 1}); save it again as UTF-8"
        faults.append(InputFault(file, None, None, message))
        return None
    if not text.strip():
        faults.append(InputFault(file, None, None, "the file is empty"))
        return None
    return text


def read_table(
    folder: Traversable, file: str, model: type[RowModel], faults: list[InputFault]
) -> list[Numbered[RowModel]]:
    """All rows that are in order; what is not goes into faults."""
    text = read_text(folder, file, faults)
    if text is None:
        return []
    rows = csv_rows(text, file, faults)
    return [] if rows is None else checked_rows(rows, file, model, faults)


def csv_rows(text: str, file: str, faults: list[InputFault]) -> list[list[str]] | None:
    """The cells of a CSV table, or None and a fault."""
    try:
        return list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except csv.Error as error:
        faults.append(InputFault(file, None, None, f"is not a CSV table: {error}"))
        return None


def checked_rows(
    rows: list[list[str]], file: str, model: type[RowModel], faults: list[InputFault]
) -> list[Numbered[RowModel]]:
    """Of rows with a header, all that are in order; what is not goes into faults."""
    header = [cell.strip() for cell in rows[0]]
    wrong = list(_header_faults(file, header, model))
    faults += wrong
    if any(each.field is None for each in wrong):
        return []
    found, missing = [], {each.field for each in wrong}
    for numbered in _rows(file, rows, model):
        if isinstance(numbered, Numbered):
            found.append(numbered)
        elif numbered.field not in missing:
            faults.append(numbered)
    if len(rows) == HEADER:
        faults.append(InputFault(file, None, None, "has a header but no rows"))
    return found


def _header_faults(file: str, header: list[str], model: type[Checked]) -> Iterator[InputFault]:
    if len(header) == 1 and ";" in header[0]:
        yield InputFault(file, HEADER, None, "cells are parted by semicolons; save it with commas")
        return
    for name, times in Counter(header).items():
        if times > 1:
            yield InputFault(file, HEADER, name or None, f"the column stands here {times} times")
    known = {name for field in model.model_fields for name in columns(field)}
    for name in header:
        if name not in known:
            message = f"unknown column; known are {', '.join(_known(model))}"
            yield InputFault(file, HEADER, name or None, message)
    for field, info in model.model_fields.items():
        if info.is_required() and not set(columns(field)) & set(header):
            yield InputFault(file, HEADER, " or ".join(columns(field)), "the column is missing")


def _known(model: type[Checked]) -> Iterator[str]:
    return (" or ".join(columns(field)) for field in model.model_fields)


def _rows(
    file: str, rows: list[list[str]], model: type[RowModel]
) -> Iterator[Numbered[RowModel] | InputFault]:
    header = [cell.strip() for cell in rows[0]]
    known = {name for field in model.model_fields for name in columns(field)}
    for number, cells in enumerate(rows[HEADER:], start=HEADER + 1):
        named = zip(header, map(str.strip, cells), strict=False)
        filled = {name: cell for name, cell in named if cell and name in known}
        if len(cells) > len(header):
            message = f"has {len(cells)} cells under {len(header)} columns"
            yield InputFault(file, number, None, message)
        elif filled:
            try:
                yield Numbered(file, number, model.model_validate(filled), filled)
            except ValidationError as error:
                yield from as_faults(error, file, row=number, given=filled)
