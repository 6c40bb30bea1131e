"""Twins of rules 18 to 20 for part-lots that are stopped again, discarded, or of unknown clock."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Outage, StartedCharge, StartedRun
from scheduler.domain.part_lot import Discarded, GoesOn, Held, PartLot
from scheduler.domain.plan import Plan
from scheduler.units import Racks
from tests.builders import at, dryer, hours, minutes
from tests.verify.changes import with_note
from tests.verify.twin import Twin
from tests.verify.twins_emergency import A, B, b, down, dries, night, told_at, unwritten

AGAIN = at("Tue 23:45")
AT_WORK = at("Wed 08:00")
# A dried on for 45 minutes when D2 stopped too.
A2 = replace(
    A,
    station_id="D2",
    stopped=AGAIN,
    stood_s=hours(1),
    held=Held("K1", at("Wed 00:15"), at("Wed 07:30")),
    dries_on=B.dries_on,
)
# B had been cold for a quarter of an hour when the cold store stopped, and is cold again later.
B2 = replace(
    B,
    station_id="K1",
    stopped=AGAIN,
    stood_s=minutes(90),
    held=Held("K1", at("Wed 02:15"), AT_WORK),
    hands=("Jun", "Lotte"),
)
B_UNTIL = b(held=Held("K1", at("Tue 23:30"), AGAIN), dries_on=None)
NO_WAY = {"held": None, "dries_on": None}
GONE = Discarded("Lotte", at("Wed 02:30"))
SAID = GoesOn("Lotte", at("Wed 02:20"))


def again(asked: Asked, plan: Plan, *left: PartLot) -> tuple[Asked, Plan]:
    """D2 stopped under A; these were left of it."""
    asked, plan = night(asked, plan, A, B, *left)
    return down(asked, "D2"), plan


def warm(asked: Asked, plan: Plan, *left: PartLot) -> tuple[Asked, Plan]:
    """The cold store stopped under B; these were left of it."""
    asked, plan = night(asked, plan, A, B_UNTIL, *left)
    stop = Outage("K1", AGAIN, at("Wed 02:00"))
    happened = replace(asked.happened, outages=(*asked.happened.outages, stop))
    return replace(asked, happened=happened), plan


def late(
    asked: Asked, plan: Plan, said: GoesOn | None, until: str = "Wed 07:30"
) -> tuple[Asked, Plan]:
    """B came into the cold half an hour after the limit."""
    part = b(held=Held("K1", at("Wed 02:30"), at(until)), goes_on=said)
    return told_at(night(asked, plan, A, part), "Wed 06:50")


def unknown(asked: Asked, plan: Plan, *parts: PartLot) -> tuple[Asked, Plan]:
    asked, plan = night(asked, plan, *parts)
    return unwritten(asked), plan


def moved(asked: Asked, plan: Plan, cold: str) -> tuple[Asked, Plan]:
    """An hour after D3 stopped somebody moved ten racks into D4, which stopped too at 23:45."""
    whole = a2(letter="", racks=Racks(19), station_id="D3", stopped=A.stopped, **NO_WAY)
    held = Held("K1", at(cold), None)
    left = a2(letter="C", station_id="D4", stood_s=hours(0), held=held, dries_on=None)
    asked, plan = night(asked, plan, whole, left)
    charges = (StartedCharge("N9", Racks(10)),)
    run = StartedRun("D4", 57.0, at("Tue 23:00"), at("Wed 13:00"), charges)
    happened = replace(asked.happened, runs=(*asked.happened.runs, run))
    kitchen = replace(asked.kitchen, dryers=(*asked.kitchen.dryers, dryer("D4")))
    return down(replace(asked, happened=happened, kitchen=kitchen), "D4"), plan


def came_at(found: tuple[Asked, Plan], when: str) -> tuple[Asked, Plan]:
    asked, plan = found
    return with_note(asked, "N9", arrives=at(when)), plan


def a2(**changes: Any) -> PartLot:
    return replace(A2, **changes)


def b2(**changes: Any) -> PartLot:
    return replace(B2, **changes)


def alone(start: str, end: str) -> PartLot:
    """What was left of A, in a run of its own after that of B."""
    held = Held("K1", at("Wed 00:15"), at("Wed 12:30"))
    return dries(a2(held=held), start, end)


TWINS = (
    Twin(
        "late in the cold, and nobody decided",
        19,
        lambda x, p: late(x, p, None),
        says="would be warm for 5 h",
    ),
    Twin(
        "let go on before it was over the limit",
        19,
        lambda x, p: late(x, p, GoesOn("Lotte", at("Wed 01:55"))),
        says="would be warm for 5 h",
    ),
    Twin(
        "let go on by nobody",
        19,
        lambda x, p: late(x, p, GoesOn(" ", SAID.at)),
        says="nobody is named",
    ),
    Twin(
        "let go on, and out of the cold for longer than an hour",
        19,
        lambda x, p: late(x, p, SAID, until="Wed 06:55"),
        says="out of the cold for 1 h 5 min more",
    ),
    Twin(
        "racks are left behind at the second stop",
        20,
        lambda x, p: again(x, p, a2(racks=Racks(9))),
        says="hold 9 racks; the charge had 10",
    ),
    Twin(
        "it had dried for less when it was stopped again",
        6,
        lambda x, p: again(x, p, alone("Wed 13:00", "Wed 16:10")),
        says="dries on for 3 h 10 min; 3 h 15 min were left",
    ),
    Twin(
        "the clock does not begin anew at the second stop",
        19,
        lambda x, p: again(x, p, a2(stood_s=None, held=Held("K1", at("Wed 02:50"), AT_WORK))),
        says="would be warm for 4 h 5 min",
    ),
    Twin(
        "the clock goes on when the cold store stops",
        19,
        lambda x, p: warm(x, p, b2(stood_s=None, held=Held("K1", at("Wed 02:20"), AT_WORK))),
        says="would be warm for 4 h 5 min",
    ),
    Twin(
        "what is left of nothing that stopped again",
        20,
        lambda x, p: again(x, p, A2, a2(note_id="N1")),
        says="is of no charge that was drying",
    ),
    Twin(
        "what is not known counts at the worst",
        19,
        lambda x, p: unknown(x, p, A, B),
        says="N9 B would be warm for 5 h",
    ),
    Twin(
        "what is not known may have come earlier than it was noted",
        19,
        lambda x, p: came_at(unknown(x, p, A, B), "Tue 10:00"),
        says="N9 B would be warm for 5 h",
    ),
    Twin(
        "the clock does not begin anew where somebody moved them before any mend",
        19,
        lambda x, p: moved(x, p, "Wed 02:50"),
        says="N9 C would be warm for 4 h 5 min",
    ),
    Twin(
        "discarded, and nobody decided it",
        19,
        lambda x, p: night(x, p, A, gone(by=" ")),
        says="nobody is named",
    ),
    Twin(
        "discarded, and it dries on all the same",
        19,
        lambda x, p: night(x, p, A, b(discarded=GONE, held=None, dries_on=A.dries_on)),
        says="dries on although it is discarded",
    ),
    Twin(
        "discarded, and kept all the same",
        19,
        lambda x, p: night(x, p, A, b(discarded=GONE, dries_on=None)),
        says="is kept although it is discarded",
    ),
)


def gone(by: str = "Lotte") -> PartLot:
    return b(held=None, dries_on=None, discarded=replace(GONE, by=by))


ALLOWED = (
    Twin("moved before any mend, and cold in time", 19, lambda x, p: moved(x, p, "Wed 02:45")),
    Twin("what was left goes another way", 20, lambda x, p: again(x, p, A2)),
    Twin(
        "as long as was left in all",
        6,
        lambda x, p: again(x, p, alone("Wed 13:00", "Wed 16:15")),
    ),
    Twin(
        "exactly four hours over both stops",
        19,
        lambda x, p: again(x, p, a2(held=Held("K1", at("Wed 02:45"), AT_WORK))),
    ),
    Twin("cold again in exactly four hours", 19, lambda x, p: warm(x, p, B2)),
    Twin(
        "a person is asked about what the cold store let go warm",
        20,
        lambda x, p: warm(x, p, b2(held=None, dries_on=None, hands=())),
    ),
    Twin(
        "what is not known, and cold in time at the worst",
        19,
        lambda x, p: unknown(x, p, A, b(held=Held("K1", at("Tue 23:00"), AT_WORK))),
    ),
    Twin("a person let go on what was late in the cold", 19, lambda x, p: late(x, p, SAID)),
    Twin(
        "an hour out of the cold once a person let it go on",
        19,
        lambda x, p: late(x, p, SAID, until="Wed 07:00"),
    ),
    Twin("a named person discards it", 19, lambda x, p: night(x, p, A, gone())),
)
