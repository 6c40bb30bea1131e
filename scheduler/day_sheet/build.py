"""Puts the day sheet together from the plan."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from scheduler.day_sheet.after import checks_and_packing, dryer, stopped_and_back
from scheduler.day_sheet.before import at_the_door, preparation
from scheduler.day_sheet.cautions import cautions_for
from scheduler.day_sheet.context import Context
from scheduler.day_sheet.night import night, rack_maps
from scheduler.day_sheet.people import in_the_house, papers_short
from scheduler.day_sheet.sheet import DOOR, DaySheet, Line, NoPlace
from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.plan import Plan
from scheduler.errors import NoSuchPlan
from scheduler.wording import day_and_month

PENCILLED = "pencilled"  # nothing is firm before it is posted


def day_sheet(
    asked: Asked, plan: Plan, day: date, *, called_off: frozenset[str] = frozenset()
) -> DaySheet:
    """The sheet of one day of the plan's week, or of the Monday after it.

    Raises NoSuchPlan for any other day.
    """
    if day not in asked.days:
        first, last = day_and_month(asked.days[0]), day_and_month(asked.days[-1])
        raise NoSuchPlan(f"the plan of {asked.week} covers {first} to {last}, not {day}")
    context = Context(asked, plan, day, called_off)
    lines = in_order(asked.kitchen, _lines(context))
    tonight = night(context)
    staffed = asked.kitchen.staffed_spans((day,))
    return DaySheet(
        kitchen=asked.kitchen.name,
        place=asked.kitchen.place,
        week=str(asked.week),
        day=day,
        state=PENCILLED,
        rules=plan.rules,
        staffed=tuple((context.local(span.start), context.local(span.end)) for span in staffed),
        in_the_house=in_the_house(context, lines),
        lines=lines,
        rack_maps=rack_maps(context),
        night=tonight,
        papers_short=papers_short(context, lines),
        no_place=tuple(_no_place(context)),
        cautions=cautions_for(
            (line.act for line in lines), runs_tonight=bool(tonight and tonight.runs)
        ),
    )


def _lines(day: Context) -> Iterator[Line]:
    yield from at_the_door(day)
    for run in day.runs():
        yield from dryer(day, run)
        for charge in run.charges:
            yield from preparation(day, run, charge)
            yield from checks_and_packing(day, run, charge)
    for outage in day.asked.happened.outages:
        yield from stopped_and_back(day, outage)


def in_order(kitchen: Kitchen, lines: Iterator[Line]) -> tuple[Line, ...]:
    """By time, then as the stream runs through the kitchen."""
    stations = (
        DOOR,
        *(each.id for each in kitchen.wash_lines),
        *(each.id for each in kitchen.tables),
        *(each.id for each in kitchen.steamers),
        *(each.id for each in kitchen.chill_tubs),
        *(each.id for each in kitchen.dryers),
        *(each.id for each in kitchen.meters),
        *(each.id for each in kitchen.benches),
    )
    rank = {station: number for number, station in enumerate(stations)}

    def place(line: Line) -> tuple[datetime, int, list[str]]:
        station = rank.get(line.station_id, len(rank))
        return line.at, station, [lot.code for lot in line.lots]

    return tuple(sorted(lines, key=place))


def _no_place(day: Context) -> Iterator[NoPlace]:
    for waiting in day.plan.waiting:
        if day.today(day.asked.note(waiting.note_id).arrives):
            yield NoPlace(day.label(waiting.note_id), day.weight(waiting.field_g), waiting.reason)
