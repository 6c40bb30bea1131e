"""Twins of rules 3 and 4: night end, not before the door."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.units import Seconds
from tests.builders import at, hours, minutes, span, weekly
from tests.verify.changes import (
    dry_checked,
    pepper_at,
    unloaded,
    with_kitchen,
    with_limits,
    with_note,
    with_run,
    with_station,
)
from tests.verify.twin import Twin


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
    return with_note(
        with_kitchen(asked, staffed=staffed), "N6", latest_start=at("Next 00:00")
    ), plan


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
                with_run(p, "D2 Mon", released=at("Tue 07:05")),
                "D2 Mon",
                span("Tue 07:05", "07:35"),
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


TWINS = (
    *NIGHT_END,
    *DOOR,
)
ALLOWED = (
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
        "unloaded within the hour to the minute",
        3,
        lambda a, p: (
            with_limits(a, unloaded_within_s=minutes(30)),
            p,
        ),
        faults=0,
    ),
)
