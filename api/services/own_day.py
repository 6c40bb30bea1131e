"""One grower's part of a day sheet: nothing on it tells that there are other lots."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from scheduler.day_sheet import DaySheet
from scheduler.day_sheet.cautions import cautions_for
from scheduler.day_sheet.sheet import InTheHouse, Line, LotLabel
from scheduler.domain.asked import Asked


def own_day(sheet: DaySheet, asked: Asked, grower_id: str) -> DaySheet:
    """Her visits, the lines of her lots, what is short or has no place of hers."""
    notes = {note.id for note in asked.notes if note.grower_id == grower_id}

    def hers(lot: LotLabel) -> bool:
        return lot.code.split()[0] in notes

    lines = tuple(_own_lines(sheet.lines, hers))
    return replace(
        sheet,
        in_the_house=tuple(_herself(sheet, asked, grower_id)),
        lines=lines,
        rack_maps=(),
        night=None,
        papers_short=tuple(each for each in sheet.papers_short if hers(each.lot)),
        no_place=tuple(each for each in sheet.no_place if hers(each.lot)),
        cautions=cautions_for((line.act for line in lines), runs_tonight=False),
    )


def _own_lines(lines: tuple[Line, ...], hers: Callable[[LotLabel], bool]) -> Iterator[Line]:
    for line in lines:
        own = tuple(lot for lot in line.lots if hers(lot))
        of_run = line.changes_dryer or line.act == "dry check"
        if own and own == line.lots and not of_run:
            yield line
        elif own:  # amounts of a run tell of the others, and their lack on some runs too
            yield replace(line, lots=own, amount="", who=(), remark="", sample_racks=())


def _herself(sheet: DaySheet, asked: Asked, grower_id: str) -> Iterator[InTheHouse]:
    for grower in asked.growers:
        if grower.id == grower_id:
            named = (grower.name, grower.farm)
            yield from (each for each in sheet.in_the_house if (each.name, each.farm) == named)
