"""Twins of rules 1 to 4: grid, staffed hours, night end, door."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, Week
from scheduler.domain.plan import Plan
from scheduler.units import Seconds
from tests.builders import at, hours, minutes, span, weekly
from tests.verify.changes import (
    dry_checked,
    unloaded,
    washed_down,
    with_after,
    with_kitchen,
    with_limits,
    with_load,
    with_note,
    with_preparation,
    with_run,
    with_shifts,
    with_station,
)
from tests.verify.twin import Twin

WEEKDAYS = weekly("Mon Tue Wed Thu Fri", "07:00", "19:00")


def pepper_at(plan: Plan, cut: Span, *, start: str, end: str, unload: Span) -> Plan:
    """The pepper lot cut, dried and unloaded at another time; released at its unloading."""
    wash = Span(cut.start - timedelta(minutes=15), cut.start)
    filled = cut.end + timedelta(minutes=10)
    plan = with_preparation(plan, "N6", wash=wash, cut=cut, last_rack=filled)
    plan = with_run(plan, "D2 Fri", start=at(start), end=at(end), released=unload.start)
    return unloaded(plan, "D2 Fri", unload)


def evening_pepper(plan: Plan, start: str, end: str) -> Plan:
    unload = Span(at(end), at(end) + timedelta(minutes=30))
    return pepper_at(plan, span("Fri 18:15", "18:45"), start=start, end=end, unload=unload)


def sunday_pepper(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    staffed = (*asked.kitchen.staffed, *weekly("Sun", "12:00", "20:00"))
    plan = pepper_at(
        plan,
        span("Sun 12:15", "12:45"),
        start="Sun 13:00",
        end="Next 01:00",
        unload=span("Next 07:00", "07:30"),
    )
    plan = dry_checked(plan, "N6", span("Next 08:15", "08:30"))
    return with_note(with_kitchen(asked, staffed=staffed), "N6", latest_start=at("Next 00:00")), plan


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

NIGHT_END = (
    Twin(
        "cool hold longer than allowed",
        3,
        lambda a, p: (with_limits(a, cool_hold_most_s=Seconds(hours(7) - 1)), p),
        says="cool hold lasts 6 h 59 min 59 s",
    ),
    Twin(
        "released later than the opening",
        3,
        lambda a, p: (
            a,
            unloaded(
                with_run(p, "D2 Mon", released=at("Tue 07:05")), "D2 Mon", span("Tue 07:05", "07:35")
            ),
        ),
        says="not at Tue 18 Aug 07:00",
    ),
    Twin(
        "ends while staffed and is released later",
        3,
        lambda a, p: (
            a,
            dry_checked(
                unloaded(
                    with_run(p, "D2 Tue", released=at("Tue 17:00")),
                    "D2 Tue",
                    span("Tue 17:00", "17:30"),
                ),
                "N3",
                span("Tue 18:15", "18:30"),
            ),
        ),
        says="ends Tue 18 Aug 16:45 while staffed",
    ),
    Twin(
        "unloaded more than an hour after release",
        3,
        lambda a, p: (
            a,
            dry_checked(
                unloaded(p, "D2 Tue", span("Tue 17:20", "17:50")), "N3", span("Tue 18:30", "18:45")
            ),
        ),
        says="more than 1 h after its release",
    ),
    Twin(
        "unloaded before release",
        3,
        lambda a, p: (a, unloaded(p, "D2 Tue", span("Tue 16:40", "17:10"))),
        says="before its release",
    ),
    Twin("never unloaded", 3, lambda a, p: (a, with_run(p, "D2 Tue", unload=None))),
    Twin(
        "a dryer that may not run unattended runs two nights",
        3,
        lambda a, p: (with_station(a, "dryers", "D1", runs_unattended=False), p),
        faults=2,
        says="may not run unattended",
    ),
    Twin("released after the week is over", 3, sunday_pepper, says="after the week only"),
)

DOOR = (
    Twin(
        "washed before it arrives",
        4,
        lambda a, p: (with_note(a, "N5", arrives=at("Wed 12:05")), p),
        says="N5 is washed Wed 19 Aug 12:00, before it arrives Wed 19 Aug 12:05",
    ),
    Twin(
        "starts after its latest start",
        4,
        lambda a, p: (with_note(a, "N4", latest_start=at("Tue 11:55")), p),
        says="after its latest start",
    ),
    Twin(
        "a lot of which no note tells",
        4,
        lambda a, p: (replace(a, notes=tuple(each for each in a.notes if each.id != "N6")), p),
        says="no harvest note",
    ),
)

TWINS = (*GRID, *STAFFED, *NIGHT_END, *DOOR)

# What is just allowed.
ALLOWED = (
    Twin(
        "a run starts at closing time",
        2,
        lambda a, p: (a, evening_pepper(p, "Fri 19:00", "Sat 07:00")),
        faults=0,
    ),
    Twin(
        "cool hold exactly as long as allowed",
        3,
        lambda a, p: (with_limits(a, cool_hold_most_s=hours(7)), p),
        faults=0,
    ),
    Twin(
        "starts at its latest start",
        4,
        lambda a, p: (with_note(a, "N4", latest_start=at("Tue 12:00")), p),
        faults=0,
    ),
    Twin(
        "a lasting shift told in two stretches",
        12,
        lambda a, p: (
            with_shifts(
                a,
                "Jun",
                (
                    *weekly("Mon Tue Wed Thu Fri", "07:00", "10:10"),
                    *weekly("Mon Tue Wed Thu Fri", "10:10", "19:00"),
                    *weekly("Sat", "07:00", "13:00"),
                ),
            ),
            p,
        ),
        faults=0,
    ),
    Twin(
        "unloaded within the hour to the minute",
        3,
        lambda a, p: (
            with_limits(a, unloaded_within_s=minutes(30)),
            p,
        ),
        faults=0,
    ),
)
