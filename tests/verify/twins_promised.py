"""Twins of rule 18 for what was promised: in its own plan, and to plans of other weeks."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.outage import Happened
from scheduler.domain.plan import Moved, Plan
from scheduler.domain.promised import Promised, Taken
from tests.builders import at, span
from tests.verify.changes import with_after, with_charge, with_duty, with_run
from tests.verify.good_week import good_plan
from tests.verify.twin import Twin


def promised(asked: Asked, plan: Plan, *firm: str) -> Asked:
    return replace(asked, promised=Promised(plan, frozenset(firm)))


def taken(asked: Asked, who: str, when: Span) -> Asked:
    return replace(asked, promised=Promised(taken=(Taken(who, when, "cutting R12"),)))


def packed_later() -> Plan:
    return with_after(good_plan(), "N6", packing=span("Next 09:30", "09:55"))


def named(plan: Plan, note_id: str) -> Plan:
    return replace(plan, moved=(Moved(note_id, 11, "Bench P1 is down."),))


TWINS = (
    Twin(
        "a firm packing turn is moved",
        18,
        lambda a, p: (promised(a, packed_later(), "N6"), p),
        says="N6 is firm and is not where it was promised, nor named as moved",
    ),
    Twin(
        "another is named",
        18,
        lambda a, p: (promised(a, packed_later(), "N6", "N5"), named(p, "N5")),
    ),
    Twin(
        "one charge of a firm lot is in another run",
        18,
        lambda a, p: (promised(a, with_run(good_plan(), "D1 Tue", start=at("Tue 11:55")), "N2"), p),
    ),
    Twin(
        "a firm charge has other hands",
        18,
        lambda a, p: (promised(a, with_duty(good_plan(), "dry check", "N6", who="Sal"), "N6"), p),
        says="N6 is firm and has other hands than were promised",
    ),
    Twin(
        "a hand is promised to another week",
        18,
        lambda a, p: (taken(a, "Jun", span("Next 08:10", "08:20")), p),
        without=("hands", "packing"),
        says="Jun is planned for dry check",
    ),
    Twin(
        "a bench is promised to another week",
        18,
        lambda a, p: (taken(a, "P1", span("Next 08:00", "09:05")), p),
        without=("packing",),
        says="promised to another plan (cutting R12)",
    ),
    Twin(
        "a table is promised to another plan",
        18,
        lambda a, p: (taken(a, "T3", span("Tue 08:30", "08:40")), p),
    ),
    Twin(
        "a grower is promised to another plan",
        18,
        lambda a, p: (taken(a, grower_of(a, "N6"), span("Next 09:20", "10:00")), p),
        without=("packing",),
    ),
    Twin(
        "a dryer is promised to another plan",
        18,
        lambda a, p: (taken(a, "D2", span("Sat 07:00", "07:10")), p),
    ),
)


def grower_of(asked: Asked, note_id: str) -> str:
    return asked.note(note_id).grower_id


ALLOWED = (
    Twin(
        "all that is firm is where it was",
        18,
        lambda a, p: (promised(a, good_plan(), "N1", "N2", "N3", "N4", "N5", "N6"), p),
    ),
    Twin(
        "a firm turn that is moved is named",
        18,
        lambda a, p: (promised(a, packed_later(), "N6"), named(p, "N6")),
    ),
    Twin("what is pencilled is moved", 18, lambda a, p: (promised(a, packed_later(), "N5"), p)),
    Twin(
        "who was firm asks no longer",
        18,
        lambda a, p: (promised(a, packed_later(), "N9"), p),
    ),
    Twin(
        "other racks of the same run",
        18,
        lambda a, p: (promised(a, with_charge(good_plan(), "N6", first_rack=3), "N6"), p),
    ),
    Twin(
        "what has begun as it was promised goes on",
        18,
        lambda a, p: (
            replace(promised(a, good_plan(), "N1"), happened=Happened(now=at("Wed 12:30"))),
            p,
        ),
    ),
    Twin(
        "free again when the other plan is done",
        18,
        lambda a, p: (taken(a, "P1", span("Next 08:00", "09:00")), p),
    ),
)
