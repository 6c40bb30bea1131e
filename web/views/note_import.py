"""The page "Take in many notes from a file", and what became of every row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from api.services.note_import import RowReport
from web.languages import ENGLISH
from web.views.harvest_notes import ADDRESS
from web.views.page import Page
from web.views.reading import Reading

WHERE = f"{ADDRESS}/import"
COLUMNS = "grower_id,card_id,field_kg,arrives,latest_start,may_split,second_pair,standing,remark"
EXAMPLE = "G03,tomato,55,2026-08-18T08:00,,yes,no,no,ripe"  # demo


@dataclass(frozen=True, slots=True)
class ReportRow:
    """One row of the file: the note it is, or what is wrong with it, in English."""

    row: int
    note_id: str
    href: str
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ImportPage(Page):
    """faults: why the file as a whole cannot be read, in that language. told: what came of all."""

    template: ClassVar[str] = "note_import.html"
    action: str = WHERE
    columns: str = COLUMNS
    example: str = EXAMPLE
    faults: tuple[str, ...] = ()
    language: str = ENGLISH
    told: str = ""
    rows: tuple[ReportRow, ...] = ()


def report_page(reports: Sequence[RowReport], reading: Reading) -> ImportPage:
    """Rows that are not in order first: they are what is left to do."""
    noted = sum(each.note_id is not None for each in reports)
    told = reading.say(
        "%(noted)s of %(rows)s rows are in the book now; nothing of the others was kept.",
        noted=reading.number(noted),
        rows=reading.number(len(reports)),
    )
    order = sorted(reports, key=lambda each: (each.note_id is not None, each.row))
    return ImportPage(told=told, rows=tuple(map(_row, order)))


def _row(report: RowReport) -> ReportRow:
    faults = (f"{each.field}: {each.message}" if each.field else each.message
              for each in report.faults)  # fmt: skip
    found = report.note_id or ""
    return ReportRow(report.row, found, f"{ADDRESS}/{found}", tuple(faults))
