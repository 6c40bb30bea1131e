"""Twins of rules 18 to 20 for part-lots: a cabinet stops in the night with tomatoes inside."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import OnCall
from scheduler.domain.outage import Happened, Outage, StartedCharge, StartedRun
from scheduler.domain.part_lot import DriesOn, Held, PartLot
from scheduler.domain.plan import Charge, Plan, Preparation, Run
from scheduler.domain.promised import Promised, Taken
from scheduler.units import Grams, Racks
from tests.builders import at, dryer, hours, note, span
from tests.verify.twin import Twin

STOP = at("Tue 22:00")
NONE = hours(0)
RUN = StartedRun(
    "D3", 57.0, at("Tue 11:00"), at("Wed 02:00"), (StartedCharge("N9", Racks(19), NONE),)
)
A = PartLot(
    note_id="N9",
    letter="A",
    racks=Racks(10),
    prepared_g=Grams(29_684),
    station_id="D3",
    stopped=STOP,
    left_s=hours(4),
    water_percent=26.0,
    dries_on=DriesOn("D2", 57.0, at("Tue 23:00"), at("Wed 03:00")),
    hands=("Jun", "Lotte"),
)
B = replace(
    A,
    letter="B",
    racks=Racks(9),
    prepared_g=Grams(26_716),
    held=Held("K1", at("Tue 23:30"), at("Wed 07:30")),
    dries_on=DriesOn("D2", 57.0, at("Wed 08:00"), at("Wed 12:00")),
)
TOGETHER = {"held": None, "dries_on": A.dries_on}
HELD_LONG = Held("K1", at("Tue 23:30"), at("Wed 17:30"))


def night(asked: Asked, plan: Plan, *parts: PartLot) -> tuple[Asked, Plan]:
    """The good week with a third cabinet that stopped under N9, and these part-lots."""
    kitchen = asked.kitchen
    kitchen = replace(
        kitchen,
        dryers=(*kitchen.dryers, dryer("D3")),
        on_call=(OnCall(1, "Jun", "555-0101"), OnCall(2, "Sal", "555-0102")),
        limits=replace(kitchen.limits, supply_watts=30_000),
    )
    told = note("N9", "G4", "tomato", 60_000)
    happened = Happened(None, (RUN,), (Outage("D3", STOP, at("Thu 12:00")),))
    asked = replace(asked, kitchen=kitchen, notes=(*asked.notes, told), happened=happened)
    return asked, replace(plan, part_lots=parts)


def a(**changes: Any) -> PartLot:
    return replace(A, **changes)


def b(**changes: Any) -> PartLot:
    return replace(B, **changes)


def begun_late(asked: Asked, plan: Plan, *parts: PartLot) -> tuple[Asked, Plan]:
    """N9 was promised a run in D3 at 9:50, cut from 9:00 on; it began at 11:00."""
    asked, plan = night(asked, plan, *parts)
    cut = span("Tue 09:00", "09:30")
    made = Preparation("W1", cut, cut, (), (), cut.end)
    charge = Charge("N9", "", Racks(19), 1, Grams(60_000), Grams(56_400), made)
    begins, ends = at("Tue 09:50"), at("Wed 00:50")
    run = Run("R", "D3", 57.0, begins, ends, ends, None, None, (charge,))
    promised = Promised(replace(plan, runs=(*plan.runs, run)))
    return replace(unwritten(asked), promised=promised), plan


def unwritten(asked: Asked) -> Asked:
    """Nobody wrote down how long it stood cut."""
    run = replace(RUN, charges=(StartedCharge("N9", Racks(19)),))
    return replace(asked, happened=replace(asked.happened, runs=(run,)))


def told_at(found: tuple[Asked, Plan], now: str) -> tuple[Asked, Plan]:
    asked, plan = found
    happened = replace(asked.happened, now=at(now))
    return replace(asked, happened=happened, promised=Promised(plan)), plan


def on_record(asked: Asked, plan: Plan, start: str, end: str) -> tuple[Asked, Plan]:
    """A and B are promised; the run of A in D2 is written down with these times."""
    asked, plan = with_promised(*night(asked, plan, A, B), A, B)
    run = StartedRun("D2", 57.0, at(start), at(end), (StartedCharge("N9", Racks(10)),))
    happened = replace(asked.happened, now=at("Wed 07:10"), runs=(*asked.happened.runs, run))
    kitchen = replace(asked.kitchen, limits=replace(asked.kitchen.limits, supply_watts=20_000))
    return replace(asked, kitchen=kitchen, happened=happened), plan


def two_inside(asked: Asked, plan: Plan, card_id: str) -> tuple[Asked, Plan]:
    """Beside ten racks of N9 nine of another note stopped, and both dry on in one run."""
    asked, plan = night(asked, plan, a(letter=""), b(note_id="N8", letter="", **TOGETHER))
    charges = (StartedCharge("N9", Racks(10), NONE), StartedCharge("N8", Racks(9), NONE))
    happened = replace(asked.happened, runs=(replace(RUN, charges=charges),))
    told = note("N8", "G3", card_id, 27_000)
    return replace(asked, notes=(*asked.notes, told), happened=happened), plan


def dries(part: PartLot, start: str, end: str, **changes: Any) -> PartLot:
    run = DriesOn("D2", 57.0, at(start), at(end))
    return replace(part, dries_on=replace(run, **changes))


def with_promised(asked: Asked, plan: Plan, *parts: PartLot) -> tuple[Asked, Plan]:
    promised = Promised(replace(plan, part_lots=parts))
    return replace(asked, promised=promised), plan


def with_taken(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    taken = (Taken("D2", span("Wed 02:00", "04:00"), "a run"),)
    return replace(asked, promised=Promised(taken=taken)), plan


def down(asked: Asked, station_id: str) -> Asked:
    stops = (*asked.happened.outages, Outage(station_id, at("Tue 23:45"), at("Wed 06:00")))
    return replace(asked, happened=replace(asked.happened, outages=stops))


TWINS = (
    Twin(
        "a part-lot of nothing that stopped",
        20,
        lambda x, p: night(x, p, A, B, a(note_id="N1", letter="")),
        says="is of no charge that was drying when its dryer stopped",
    ),
    Twin(
        "racks are left behind",
        20,
        lambda x, p: night(x, p, A),
        says="hold 10 racks; the charge had 19",
    ),
    Twin(
        "at night with nobody named",
        20,
        lambda x, p: night(x, p, a(hands=()), b(hands=("Jun", "Lotte"))),
        says="in unstaffed hours",
    ),
    Twin(
        "at night by one alone",
        20,
        lambda x, p: night(x, p, a(hands=("Jun",)), B),
        says="two on call, or one and the manager",
    ),
    Twin(
        "at night with nobody named, five minutes from now",
        20,
        lambda x, p: told_at(night(x, p, a(hands=()), B), "Tue 22:55"),
        says="in unstaffed hours",
    ),
    Twin(
        "at night by somebody who is not on call then",
        20,
        lambda x, p: night(x, p, a(hands=("Sal", "Lotte")), B),
    ),
    Twin(
        "before the dryer stopped",
        20,
        lambda x, p: night(x, p, dries(A, "Tue 21:00", "Wed 03:00"), B),
        says="before its dryer stopped",
    ),
    Twin(
        "while another run is in the dryer",
        20,
        lambda x, p: night(x, p, A, dries(b(), "Wed 08:00", "Wed 14:00", dryer_id="D1")),
        says="dries on in D1 during the run of Wed 19 Aug 13:45",
    ),
    Twin(
        "the clock goes beyond four hours",
        19,
        lambda x, p: night(x, p, A, b(held=Held("K1", at("Tue 23:30"), at("Wed 05:25")))),
        says="would be warm for 4 h 5 min",
    ),
    Twin(
        "what was warm once more counts",
        19,
        lambda x, p: night(x, p, a(again_s=hours(3) + 300), B),
        says="would be warm for 4 h 5 min",
    ),
    Twin(
        "what stood before the run counts",
        19,
        lambda x, p: night(x, p, a(stood_s=hours(3) + 300), B),
        says="would be warm for 4 h 5 min",
    ),
    Twin(
        "what stood before a run that began late counts until it began",
        19,
        lambda x, p: begun_late(
            x, p, a(stood_s=None), b(held=Held("K1", at("Wed 00:05"), at("Wed 08:00")))
        ),
        says="would be warm for 4 h 5 min",
    ),
    Twin(
        "kept beyond the start of its run",
        19,
        lambda x, p: night(x, p, A, b(held=Held("K1", at("Tue 23:30"), at("Wed 08:05")))),
        says="is still kept",
    ),
    Twin(
        "what was decided is changed",
        18,
        lambda x, p: with_promised(*night(x, p, A, dries(B, "Wed 08:00", "Wed 12:05")), A, B),
        says="does not go the way that was decided",
    ),
    Twin(
        "its dryer is promised to another plan",
        18,
        lambda x, p: with_taken(*night(x, p, A, B)),
        says="promised to another plan",
    ),
    Twin(
        "dries on too short",
        6,
        lambda x, p: night(x, p, dries(A, "Tue 23:00", "Wed 02:55"), B),
        says="dries on for 3 h 55 min; 4 h were left",
    ),
    Twin(
        "dries on too hot",
        6,
        lambda x, p: night(x, p, dries(A, "Tue 23:00", "Wed 03:00", set_point_c=60.1), B),
    ),
    Twin(
        "two groups in one run",
        6,
        lambda x, p: two_inside(x, p, "pepper"),
        says="N8 dries on beside N9, which is of another group",
    ),
    Twin(
        "turn-round after the run before is cut short",
        8,
        lambda x, p: night(x, p, A, dries(b(), "Wed 07:55", "Wed 11:55")),
        says="dries on after that of N9 A; 1 h of hands' time are needed in between",
    ),
    Twin(
        "the part-lot before began so late that turn-round is cut short",
        8,
        lambda x, p: on_record(x, p, "Wed 03:05", "Wed 07:05"),
        says="N9 B dries on after the run of Wed 19 Aug 03:05",
    ),
    Twin(
        "turn-round before the next run is cut short",
        8,
        lambda x, p: night(x, p, A, dries(b(), "Wed 08:30", "Wed 12:50", dryer_id="D1")),
        says="before the run of Wed 19 Aug 13:45",
    ),
    Twin(
        "off the grid",
        1,
        lambda x, p: night(x, p, A, dries(B, "Wed 08:01", "Wed 12:05")),
    ),
    Twin(
        "ends when nobody comes for too long",
        3,
        lambda x, p: night(x, p, A, dries(b(held=HELD_LONG), "Wed 18:00", "Wed 22:55")),
        says="nobody comes in time",
    ),
    Twin(
        "its dryer stops too",
        11,
        lambda x, p: (down(night(x, p)[0], "D2"), night(x, p, A, B)[1]),
        says="while that is down",
    ),
    Twin(
        "the cold store stops",
        11,
        lambda x, p: (down(night(x, p)[0], "K1"), night(x, p, A, B)[1]),
        says="is kept in K1 while that is down",
    ),
    Twin(
        "the shelf is too small",
        11,
        lambda x, p: night(x, p, A, b(prepared_g=Grams(700_000))),
        says="which holds 50 kg",
    ),
    Twin(
        "a dryer that there is not",
        11,
        lambda x, p: night(x, p, A, dries(B, "Wed 08:00", "Wed 12:00", dryer_id="D9")),
    ),
)
ALLOWED = (
    Twin("part-lots dry on", 20, lambda x, p: night(x, p, A, B)),
    Twin("nothing is planned for them yet", 20, night),
    Twin(
        "at night with nobody named, done by now",
        20,
        lambda x, p: told_at(night(x, p, a(hands=()), B), "Tue 22:57"),
    ),
    Twin("warm once more for three hours", 19, lambda x, p: night(x, p, a(again_s=hours(3)), B)),
    Twin(
        "a person decides",
        20,
        lambda x, p: night(x, p, A, b(held=None, dries_on=None, hands=())),
    ),
    Twin(
        "kept until further notice",
        19,
        lambda x, p: night(x, p, A, b(held=Held("K1", at("Tue 23:30"), None), dries_on=None)),
    ),
    Twin(
        "exactly four hours",
        19,
        lambda x, p: night(x, p, A, b(held=Held("K1", at("Tue 23:30"), at("Wed 05:30")))),
    ),
    Twin("its run is on record", 20, lambda x, p: on_record(x, p, "Tue 23:00", "Wed 03:00")),
    Twin("its run began late", 20, lambda x, p: on_record(x, p, "Tue 23:10", "Wed 03:10")),
    Twin("as it was decided", 18, lambda x, p: with_promised(*night(x, p, A, B), A, B)),
    Twin("two notes of one group in one run", 6, lambda x, p: two_inside(x, p, "tomato")),
    Twin(
        "both in one run",
        5,
        lambda x, p: night(x, p, A, b(held=None, dries_on=A.dries_on)),
    ),
)
