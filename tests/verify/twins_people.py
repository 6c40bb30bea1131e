"""Twins of rule 12: hands, growers, two in the house."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from scheduler.domain.asked import Asked
from scheduler.domain.clock import WeeklyHours
from scheduler.domain.plan import Duty, Plan
from tests.builders import span, steam_load, weekly
from tests.verify.changes import (
    and_duties,
    dry_checked,
    with_after,
    with_duty,
    with_grower,
    with_note,
    with_preparation,
    with_shifts,
    without_duty,
)
from tests.verify.twin import Twin


def shifts_but(asked: Asked, who: str, day: str, *changed: WeeklyHours) -> Asked:
    """A hand's shifts with those of one day exchanged."""
    hand = next(each for each in asked.kitchen.hands if each.name == who)
    weekday = weekly(day, "07:00", "08:00")[0].weekday
    others = (each for each in hand.shifts if each.weekday != weekday)
    return with_shifts(asked, who, (*others, *changed))


def bean_grower_alone(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    """The bean's grower comes alone, helped as the rules ask, and yet attends the steamer."""
    plan = and_duties(
        plan,
        Duty("Lotte", "help", "W1", "N4", span("Tue 08:00", "08:15")),
        Duty("Lotte", "help", "T3", "N4", span("Tue 09:30", "10:30")),
    )
    return with_grower(asked, "G3", people=1), plan


def pair_at_two_steamers(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    loads = (
        steam_load("S1", "Wed 12:40", steam=4, grams=6560, chilled="Wed 13:10"),
        steam_load("S2", "Wed 13:00", steam=4, grams=6560, chilled="Wed 13:30"),
        steam_load("S1", "Wed 13:00", steam=4, grams=6560, chilled="Wed 13:30"),
    )
    plan = with_preparation(plan, "N5", steam_loads=loads)
    plan = without_duty(plan, "steam", "N5")
    plan = and_duties(
        plan,
        Duty("Jun", "steam", "S1", "N5", span("Wed 12:40", "13:00")),
        Duty("G4", "steam", "S1", "N5", span("Wed 13:00", "13:10")),
        Duty("G4", "steam", "S2", "N5", span("Wed 13:00", "13:10")),
    )
    return asked, plan


def cutting_and_packing_at_once(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    """The onion's grower has the carrot too, and packs while it is cut."""
    plan = with_after(plan, "N1", packing=span("Wed 12:30", "13:15"))
    return with_note(asked, "N5", grower_id="G2"), plan


def lone_slicer(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    """Pepper is sliced by a grower alone, her helper on duty but not on shift."""
    asked = shifts_but(asked, "Lotte", "Fri", *weekly("Fri", "12:00", "17:00"))
    asked = shifts_but(asked, "Jun", "Fri", *weekly("Fri", "07:00", "11:00"))
    plan = and_duties(plan, Duty("Jun", "help", "W1", "N6", span("Fri 11:00", "11:45")))
    return with_note(asked, "N6", grower_id="G5"), plan


def away(who: str, start: str, end: str) -> Any:
    return lambda a, p: (with_grower(a, who, away=(span(start, end),)), p)


DUTIES = (
    Twin(
        "a hand outside the shift",
        12,
        lambda a, p: (shifts_but(a, "Lotte", "Mon", *weekly("Mon", "08:35", "17:00")), p),
        says="Lotte's duty (cut, Mon 17 Aug 08:30 to Mon 17 Aug 08:55) is outside the shift",
    ),
    Twin(
        "a hand at two things at once",
        12,
        lambda a, p: (a, dry_checked(p, "N2 B", span("Wed 08:25", "08:40"))),
        without=("packing",),
        says="begins while dry check lasts until Wed 19 Aug 08:30",
    ),
    Twin(
        "nobody unloads",
        12,
        lambda a, p: (a, without_duty(p, "unload", "D2 Mon")),
        says="Run on D2 has nobody on duty to unload it, Tue 18 Aug 07:00",
    ),
    Twin(
        "the unloading hand goes early",
        12,
        lambda a, p: (a, with_duty(p, "unload", "D2 Mon", span=span("Tue 07:00", "07:25"))),
    ),
    Twin(
        "nobody washes down",
        12,
        lambda a, p: (a, without_duty(p, "wash-down", "D1 Mon")),
        without=("wash_downs",),
    ),
    Twin(
        "nobody takes the dry check",
        12,
        lambda a, p: (a, without_duty(p, "dry check", "N6")),
        without=("packing",),
        says="N6 has nobody on duty for its dry check",
    ),
    Twin(
        "one hand at a table that needs two",
        12,
        lambda a, p: (a, without_duty(p, "cut", "N2 A", "Lotte")),
        says="N2 A lacks its two kitchen hands at T1",
    ),
    Twin(
        "hands at another table",
        12,
        lambda a, p: (a, with_duty(p, "cut", "N2 A", "Lotte", station_id="T3")),
    ),
    Twin(
        "a lone grower washes without help",
        12,
        lambda a, p: (a, with_duty(p, "help", "N3", span=span("Tue 07:45", "08:35"))),
        says="no hand to help its lone grower with washing",
    ),
    Twin(
        "a lone grower cuts without help to the end",
        12,
        lambda a, p: (a, with_duty(p, "help", "N3", span=span("Tue 07:30", "08:30"))),
        says="no hand to help its lone grower with cutting",
    ),
    Twin(
        "a duty that ends before it starts",
        12,
        lambda a, p: (
            a,
            and_duties(p, Duty("Sal", "help", "T1", "N5", span("Wed 10:00", "09:00"))),
        ),
        says="ends before it starts",
    ),
    Twin(
        "a duty for nothing in the plan",
        12,
        lambda a, p: (
            a,
            and_duties(p, Duty("Sal", "help", "T1", "N9", span("Wed 09:00", "10:00"))),
        ),
        says="N9, which is not in the plan",
    ),
    Twin(
        "a duty of a stranger",
        12,
        lambda a, p: (a, with_duty(p, "unload", "D2 Mon", who="Nobody")),
        says="nobody whom the kitchen knows",
    ),
    Twin(
        "a grower unloads",
        12,
        lambda a, p: (a, with_duty(p, "unload", "D2 Mon", who="G2")),
        says="is work for kitchen hands",
    ),
)

STEAMING = (
    Twin(
        "a steamer with nobody by for five minutes",
        12,
        lambda a, p: (a, with_duty(p, "steam", "N4", "Jun", span=span("Tue 10:05", "10:25"))),
        says="N4 has nobody to attend S1 all of Tue 18 Aug 10:05 to Tue 18 Aug 10:41",
    ),
    Twin(
        "the second steamer with nobody by",
        12,
        lambda a, p: (a, without_duty(p, "steam", "N5", "Sal")),
        says="nobody to attend S2",
    ),
    Twin(
        "the pair attends before its cutting ends",
        12,
        lambda a, p: (
            a,
            with_duty(
                with_duty(p, "steam", "N4", "Jun", span=span("Tue 10:05", "10:25")),
                "steam",
                "N4",
                "G3",
                span=span("Tue 10:25", "10:41"),
            ),
        ),
        says="before the grower's cutting ends",
    ),
    Twin(
        "the pair attends another grower's charge",
        12,
        lambda a, p: (a, with_duty(p, "steam", "N4", "G3", who="G4")),
        says="somebody else's charge",
    ),
    Twin("a grower alone attends", 12, bean_grower_alone, says="a grower alone cannot attend"),
    Twin("a pair at two steamers at once", 12, pair_at_two_steamers, says="has N5 attended"),
)

GROWERS = (
    Twin("a pair cuts and packs at once", 12, cutting_and_packing_at_once, without=("packing",)),
    Twin(
        "the grower is away when the lot is washed",
        12,
        away("G4", "Wed 11:00", "Wed 12:05"),
        says="N5 is washed Wed 19 Aug 12:00 to Wed 19 Aug 12:15, when Grower G4 cannot come",
    ),
    Twin("the grower is away when the lot is cut", 12, away("G4", "Wed 12:59", "Wed 14:00")),
    Twin("the grower is away when the pair attends", 12, away("G3", "Tue 10:31", "Tue 10:41")),
    Twin(
        "the grower never comes when the lot is packed",
        12,
        lambda a, p: (with_grower(a, "G4", cannot=weekly("Thu", "11:00", "12:00")), p),
        without=("packing",),
    ),
)

HOUSE = (
    Twin(
        "a steamer runs with one person in the house",
        12,
        lambda a, p: (shifts_but(a, "Lotte", "Wed", *weekly("Wed", "07:00", "12:00")), p),
        says="N5 runs a steamer or the slicer Wed 19 Aug 13:00",
    ),
    Twin("a lone grower at the slicer without a hand in the house", 12, lone_slicer, faults=2),
)

STRANGERS = (
    Twin(
        "a note of a grower whom nobody knows",
        12,
        lambda a, p: (replace(a, growers=tuple(each for each in a.growers if each.id != "G4")), p),
        says="there is no grower G4",
    ),
)

HANDS = tuple(
    replace(twin, without=(*twin.without, "hands"))
    for twin in (*DUTIES, *STEAMING, *GROWERS, *HOUSE)
)
TWINS = (*HANDS, *STRANGERS)
ALLOWED = (
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
        "two hands follow each other at a steamer",
        12,
        lambda a, p: (
            a,
            and_duties(
                with_duty(p, "steam", "N4", "Jun", span=span("Tue 10:05", "10:17")),
                Duty("Sal", "steam", "S1", "N4", span("Tue 10:17", "10:30")),
            ),
        ),
        faults=0,
    ),
    Twin(
        "a grower away at the very end of the work",
        12,
        away("G4", "Wed 13:00", "Wed 14:00"),
        faults=0,
    ),
    Twin(
        "a duty longer than its work",
        12,
        lambda a, p: (a, with_duty(p, "help", "N3", span=span("Tue 07:00", "08:45"))),
        faults=0,
    ),
)
