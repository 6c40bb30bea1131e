"""Twins of rules 14, 17, 18 and of the proof: splitting, after the dryer, what has started."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Happened, StartedCharge, StartedRun
from scheduler.domain.plan import Plan, Proof, Waiting
from scheduler.units import Grams, Racks
from tests.builders import at, note, span
from tests.verify.changes import (
    dry_checked,
    renamed,
    with_after,
    with_card,
    with_charge,
    with_limits,
    with_note,
    with_run,
    without_duty,
)
from tests.verify.twin import Twin


def waiting(plan: Plan, *those: Waiting) -> Plan:
    return replace(plan, waiting=those)


def proved(plan: Plan, worth_g: int, bound_g: int) -> Plan:
    return replace(plan, proof=Proof(Grams(worth_g), Grams(bound_g), Grams(0)))


def started(asked: Asked, start: str, end: str, *, holds: str) -> Asked:
    """A run in D2 that has started, with supply enough for it beside the others."""
    run = StartedRun("D2", 57.0, at(start), at(end), (StartedCharge(holds, Racks(7)),))
    return with_limits(replace(asked, happened=Happened(runs=(run,))), supply_watts=30_000)


def with_earlier(asked: Asked, card_id: str) -> Asked:
    """A note of the week before, for a run that has started."""
    return replace(asked, notes=(*asked.notes, note("N0", "G3", card_id, 20_000)))


def in_part(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    """Tomato B is not placed; the bean dries alone, for its own eleven hours."""
    bean = next(run for run in plan.runs if run.id == "D1 Tue").charges[0]
    plan = with_run(plan, "D1 Tue", charges=(bean,), end=at("Tue 23:00"))
    plan = waiting(plan, *plan.waiting, Waiting("N2", Grams(22_106), Grams(20_779)))
    return asked, without_duty(proved(plan, 164_280 - 20_779, 170_000), "dry check", "N2 B")


SPLITTING = (
    Twin(
        "a letter left out",
        14,
        lambda a, p: (a, renamed(p, "N2 B", "C")),
        says="bear the letters A, C",
    ),
    Twin("two charges that share a letter", 14, lambda a, p: (a, renamed(p, "N2 B", "A"))),
    Twin(
        "split against the grower's word",
        14,
        lambda a, p: (with_note(a, "N2", may_split=False), p),
        says="its grower does not allow",
    ),
    Twin(
        "a lot too small to be split",
        14,
        lambda a, p: (with_card(a, "tomato", split_from_racks=Racks(20)), p),
        says="a lot of 19 racks, split only from 20 racks",
    ),
    Twin(
        "more charges than allowed",
        14,
        lambda a, p: (with_card(a, "tomato", most_charges=1), p),
        says="is one of 2 charges; its lot may have 1",
    ),
    Twin(
        "a charge smaller than the least",
        14,
        lambda a, p: (with_card(a, "tomato", least_racks=Racks(8)), p),
        says="N2 B has 7 racks; 8 are the least",
    ),
    Twin(
        "a whole lot with a letter",
        14,
        lambda a, p: (with_card(a, "pepper", split_from_racks=Racks(7)), renamed(p, "N6", "A")),
        says="needs no letter",
    ),
    Twin(
        "a small lot with a letter",
        14,
        lambda a, p: (a, renamed(p, "N6", "A")),
        says="a lot of 7 racks",
    ),
    Twin(
        "a lot left out and not said to wait",
        14,
        lambda a, p: (a, waiting(p)),
        says="N7 weighs 10 kg (field weight); what has a place and what waits add up to 0 kg",
    ),
    Twin(
        "a gram lost from what waits",
        14,
        lambda a, p: (a, waiting(p, Waiting("N7", Grams(10_000), Grams(9199)))),
        says="prepared weight",
    ),
    Twin(
        "a lot that has a place and waits",
        14,
        lambda a, p: (a, waiting(p, *p.waiting, Waiting("N6", Grams(20_000), Grams(16_400)))),
    ),
    Twin(
        "a lot waits that nobody noted",
        14,
        lambda a, p: (a, waiting(p, *p.waiting, Waiting("N9", Grams(1), Grams(1)))),
        says="N9 is said to wait",
    ),
)

AFTER = (
    Twin(
        "no dry check and packing planned",
        17,
        lambda a, p: (a, with_charge(p, "N6", after=None)),
    ),
    Twin(
        "dry-checked before it is cool and its sample closed long enough",
        17,
        lambda a, p: (a, dry_checked(p, "N5", span("Thu 08:05", "08:20"))),
        says="its sample stood closed Thu 20 Aug 08:10",
    ),
    Twin(
        "a dry check too short",
        17,
        lambda a, p: (a, dry_checked(p, "N5", span("Thu 08:15", "08:25"))),
        says="is dry-checked in 10 min; it takes 15 min",
    ),
    Twin(
        "packed before its dry check",
        17,
        lambda a, p: (a, with_after(p, "N4", packing=span("Wed 08:00", "08:45"))),
        says="before its dry check is done",
    ),
    Twin(
        "packed before it has rested",
        17,
        lambda a, p: (a, with_after(p, "N2 A", packing=span("Wed 07:25", "08:00"))),
        says="before it has rested Wed 19 Aug 07:30",
    ),
    Twin(
        "packed after its re-wetting limit",
        17,
        lambda a, p: (a, with_after(p, "N3", packing=span("Fri 16:20", "17:20"))),
        says="after its re-wetting limit Fri 21 Aug 17:15",
    ),
    Twin(
        "packed in less time than its bags take",
        17,
        lambda a, p: (a, with_after(p, "N6", packing=span("Next 09:00", "09:20"))),
        says="is packed in 20 min; 14 bags take 21 min",
    ),
    Twin(
        "a bag too many",
        17,
        lambda a, p: (a, with_after(p, "N6", bags=15)),
        says="is to fill 15 bags; its dried weight fills 14",
    ),
)

FIRM = (
    Twin(
        "work before now",
        18,
        lambda a, p: (replace(a, happened=Happened(now=at("Mon 07:05"))), p),
        says="N1: washing begins Mon 17 Aug 07:00, before now, Mon 17 Aug 07:05",
    ),
    Twin(
        "a dryer in which a run has started",
        18,
        lambda a, p: (
            started(with_earlier(a, "pepper"), "Sun 21:30", "Mon 09:30", holds="N0"),
            p,
        ),
        says="keeps it until Mon 17 Aug 09:30",
    ),
    Twin(
        "a place for a lot whose run has started",
        18,
        lambda a, p: (started(a, "Sun 17:00", "Mon 05:00", holds="N6"), p),
        says="N6 is given a place",
    ),
    Twin(
        "no turn-round after a run that has started",
        8,
        lambda a, p: (started(with_earlier(a, "pepper"), "Sun 20:30", "Mon 08:30", holds="N0"), p),
        says="there are 35 min",
    ),
    Twin(
        "no time to wash down after a started run of onion",
        8,
        lambda a, p: (started(with_earlier(a, "onion"), "Sun 21:15", "Mon 07:15", holds="N0"), p),
        without=("wash_downs",),
        says="D2 needs 2 h of staffed time for turn-round and wash-down",
    ),
)

PROOF = (
    Twin(
        "worth more than it places",
        0,
        lambda a, p: (a, proved(p, 164_281, 170_000)),
        says="The plan is said to be worth 164.281 kg; it places 164.28 kg",
    ),
    Twin(
        "worth more than its bound",
        0,
        lambda a, p: (a, proved(p, 164_280, 164_279)),
        says="more than its bound",
    ),
)

TWINS = (
    *SPLITTING,
    *(replace(twin, without=("packing",)) for twin in AFTER),
    *FIRM,
    *PROOF,
)
ALLOWED = (
    Twin(
        "as many charges, as large and as small as allowed",
        14,
        lambda a, p: (
            with_card(
                a, "tomato", most_charges=2, least_racks=Racks(7), split_from_racks=Racks(19)
            ),
            p,
        ),
        faults=0,
    ),
    Twin("a lot placed in part, the rest of it waits", 14, in_part, faults=0),
    Twin(
        "dry-checked and packed as soon as may be",
        17,
        lambda a, p: (
            a,
            with_after(
                dry_checked(
                    with_after(p, "N3", packing=span("Thu 11:30", "12:30")),
                    "N5",
                    span("Thu 08:10", "08:25"),
                ),
                "N5",
                packing=span("Thu 08:25", "09:05"),
            ),
        ),
        faults=0,
    ),
    Twin(
        "rested to the minute",
        17,
        lambda a, p: (a, with_after(p, "N2 A", packing=span("Wed 07:30", "08:05"))),
        faults=0,
    ),
    Twin(
        "packed at its re-wetting limit",
        17,
        lambda a, p: (a, with_after(p, "N3", packing=span("Fri 16:15", "17:15"))),
        faults=0,
    ),
    Twin(
        "worth exactly its bound",
        0,
        lambda a, p: (a, proved(p, 164_280, 164_280)),
        faults=0,
    ),
    Twin(
        "without a proof nothing is said of what waits",
        14,
        lambda a, p: (a, replace(waiting(p), proof=None)),
        faults=0,
    ),
    Twin(
        "now, and not a minute later",
        18,
        lambda a, p: (replace(a, happened=Happened(now=at("Mon 07:00"))), p),
        faults=0,
    ),
    Twin(
        "a started run that leaves its turn-round",
        18,
        lambda a, p: (
            started(a, "Sun 18:05", "Mon 08:05", holds="N7"),
            waiting(p),
        ),
        faults=0,
    ),
)
