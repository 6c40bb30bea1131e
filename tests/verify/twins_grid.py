"""Twins of rules 1 and 2: the grid, staffed hours."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, Week
from scheduler.domain.plan import Plan
from tests.builders import at, span, weekly
from tests.verify.changes import (
    dry_checked,
    pepper_at,
    unloaded,
    washed_down,
    with_after,
    with_kitchen,
    with_load,
    with_note,
    with_preparation,
    with_run,
    with_shifts,
)
from tests.verify.twin import Twin

WEEKDAYS = weekly("Mon Tue Wed Thu Fri", "07:00", "19:00")


def evening_pepper(plan: Plan, start: str, end: str) -> Plan:
    unload = Span(at(end), at(end) + timedelta(minutes=30))
    return pepper_at(plan, span("Fri 18:15", "18:45"), start=start, end=end, unload=unload)


def early_closing_tuesday(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    others = tuple(each for each in asked.kitchen.staffed if each.weekday != 1)
    plan = dry_checked(plan, "N3", span("Wed 08:45", "09:00"))
    return with_kitchen(asked, staffed=(*others, *weekly("Tue", "07:00", "17:00"))), plan


def night_wash_down(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    late = (*weekly("Mon", "07:00", "20:00"), *WEEKDAYS, *weekly("Sat", "07:00", "13:00"))
    plan = washed_down(plan, "D1 Mon", span("Mon 18:40", "19:40"))
    return with_shifts(asked, "Jun", late), plan


GRID = (
    Twin(
        "a run starts and ends off the grid",
        1,
        lambda a, p: (
            a,
            with_run(p, "D2 Fri", start=at("Fri 12:01"), end=at("Sat 00:01")),
        ),
        faults=2,
        says="off the five-minute grid",
    ),
    Twin(
        "washing off the grid",
        1,
        lambda a, p: (a, with_preparation(p, "N5", wash=span("Wed 12:01", "12:15"))),
        says="N5: washing, Wed 19 Aug 12:01",
    ),
    Twin(
        "cutting off the grid",
        1,
        lambda a, p: (a, with_preparation(p, "N2 B", cut=span("Tue 10:01", "10:25"))),
    ),
    Twin(
        "unloading off the grid",
        1,
        lambda a, p: (a, unloaded(p, "D2 Tue", span("Tue 16:47", "17:17"))),
        faults=2,
    ),
    Twin(
        "wash-down off the grid",
        1,
        lambda a, p: (a, washed_down(p, "D1 Mon", span("Tue 07:00", "08:02"))),
        without=("wash_downs",),
    ),
    Twin(
        "dry check off the grid",
        1,
        lambda a, p: (a, dry_checked(p, "N1", span("Tue 07:35", "07:52"))),
        without=("packing",),
    ),
    Twin(
        "packing off the grid",
        1,
        lambda a, p: (a, with_after(p, "N6", packing=span("Next 09:00", "09:26"))),
        without=("packing",),
    ),
    Twin(
        "washing ends before it starts",
        1,
        lambda a, p: (a, with_preparation(p, "N5", wash=span("Wed 12:15", "12:00"))),
        says="before it starts",
    ),
    Twin(
        "a steam load in half seconds",
        1,
        lambda a, p: (a, with_load(p, "N5", 0, start=at("Wed 12:40").replace(microsecond=500_000))),
    ),
    Twin(
        "a start that names no zone",
        1,
        lambda a, p: (a, with_run(p, "D2 Fri", start=at("Fri 12:00").replace(tzinfo=None))),
    ),
    Twin(
        "a start told in the kitchen's zone",
        1,
        lambda a, p: (
            a,
            with_run(p, "D2 Fri", start=at("Fri 12:00").astimezone(a.kitchen.zone)),
        ),
    ),
    Twin(
        "an end at the end of time",
        1,
        lambda a, p: (a, with_run(p, "D2 Fri", end=datetime.max.replace(tzinfo=UTC))),
    ),
    Twin("a plan for another week", 1, lambda a, p: (a, replace(p, week=Week(2026, 35)))),
)


STAFFED = (
    Twin(
        "washing before the kitchen opens",
        2,
        lambda a, p: (
            with_note(a, "N1", arrives=at("Mon 06:00")),
            with_preparation(p, "N1", wash=span("Mon 06:55", "07:15")),
        ),
        says="N1: washing, Mon 17 Aug 06:55 to Mon 17 Aug 07:15",
    ),
    Twin(
        "a run starts after closing time",
        2,
        lambda a, p: (a, evening_pepper(p, "Fri 19:05", "Sat 07:05")),
        says="Run on D2: start, Fri 21 Aug 19:05",
    ),
    Twin("unloading after closing time", 2, early_closing_tuesday, says="Run on D2: unloading"),
    Twin("washing down after closing time", 2, night_wash_down, without=("wash_downs",)),
    Twin(
        "packing after closing time",
        2,
        lambda a, p: (
            a,
            with_after(
                dry_checked(p, "N6", span("Sat 08:15", "08:30")),
                "N6",
                packing=span("Sat 12:45", "13:10"),
            ),
        ),
        without=("packing",),
    ),
    Twin(
        "packing on a closed Monday after",
        2,
        lambda a, p: (
            with_kitchen(a, closures=(a.days[-1],)),
            dry_checked(p, "N6", span("Sat 08:15", "08:30")),
        ),
        without=("packing",),
    ),
)


TWINS = (
    *GRID,
    *STAFFED,
)
ALLOWED = (
    Twin(
        "a run starts at closing time",
        2,
        lambda a, p: (a, evening_pepper(p, "Fri 19:00", "Sat 07:00")),
        faults=0,
    ),
)
