"""A Monday that two weeks share: the new sheet with what is left of the week before on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from scheduler.day_sheet.build import in_order
from scheduler.day_sheet.cautions import cautions_for
from scheduler.day_sheet.people import joined
from scheduler.day_sheet.sheet import DaySheet, InTheHouse
from scheduler.domain.kitchen import Kitchen


def with_left_over(sheet: DaySheet, before: DaySheet, kitchen: Kitchen) -> DaySheet:
    """sheet: the Monday of a week; before: the same day by the plan of the week before it, whose
    last lots are checked and packed then."""
    lines = in_order(kitchen, iter((*sheet.lines, *before.lines)))
    night = sheet.night
    return replace(
        sheet,
        lines=lines,
        in_the_house=tuple(_together(sheet, before)),
        rack_maps=(*before.rack_maps, *sheet.rack_maps),
        papers_short=(*sheet.papers_short, *before.papers_short),
        cautions=cautions_for(
            (line.act for line in lines), runs_tonight=bool(night and night.runs)
        ),
    )


def _together(sheet: DaySheet, before: DaySheet) -> Iterator[InTheHouse]:
    """Hands first, as in either; who comes for both has one line, whatever she comes for."""
    every: dict[tuple[str, str], InTheHouse] = {}
    for each in (*sheet.in_the_house, *before.in_the_house):
        named = (each.name, each.farm)
        known = every.get(named)
        every[named] = each if known is None else _one(known, each)
    hands = [each for each in every.values() if not each.farm]
    growers = [each for each in every.values() if each.farm]
    yield from hands
    yield from sorted(growers, key=lambda each: each.visits[0].start)


def _one(person: InTheHouse, again: InTheHouse) -> InTheHouse:
    visits = sorted({*person.visits, *again.visits}, key=lambda each: (each.start, each.end))
    return replace(person, visits=tuple(joined(visits)))
