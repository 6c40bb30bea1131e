"""Tiny weeks made by hand in which it is known why a note waits, and what would place it.

One cabinet of 20 racks (D1) unless told otherwise, cards of 3 kg a rack; 60 kg fill it. All figures
are demo.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.kitchen import Dryer, Hand, Kitchen, Table
from scheduler.domain.plan import Plan, Waiting
from scheduler.domain.rules import FULL, RuleBook
from scheduler.expand import expanded
from scheduler.explain import Listen, Patience, explained
from scheduler.model.climb import Budget, Climber
from scheduler.problem import Draft
from scheduler.verify import verify
from scheduler.whiteboard import filled, whiteboard
from scheduler.whiteboard.calendars import Calendars
from tests.builders import (
    HANDS,
    LIMITS,
    WEEK,
    at,
    card,
    dryer,
    grower,
    hours,
    kitchen,
    note,
    weekly,
)

FULL_DRYER_G = 63_000  # field weight: 59.2 kg prepared, 20 racks
STEPS = Patience(work=20)
CLIMB_STEPS = 60
CARDS = (
    card("tomato"),
    card("chili", group="hot"),
    card("onion", group="strong", drying_s=hours(6)),
)


COLD_STORE = replace(kitchen().cold_store, crates=40)


def place(*dryers: Dryer, **changes: Any) -> Kitchen:
    """The small kitchen with a large cold store, and with D1 alone where no dryers are given."""
    return kitchen(dryers=dryers or (dryer("D1"),), **{"cold_store": COLD_STORE, **changes})


def week(where: Kitchen, *notes: HarvestNote, growers: tuple[Grower, ...] = ()) -> Asked:
    """A grower of the name that each note tells, unless one is given."""
    given = {each.id: each for each in growers}
    names = dict.fromkeys(each.grower_id for each in notes)
    return Asked(
        name="tiny",
        title="Tiny",
        kitchen=where,
        week=WEEK,
        cards=CARDS,
        growers=tuple(given.get(name, grower(name)) for name in names),
        notes=notes,
    )


@dataclass(frozen=True)
class Laid:
    """A week laid out by hand."""

    asked: Asked
    rules: RuleBook
    draft: Draft
    plan: Plan

    @classmethod
    def out(cls, asked: Asked, rules: RuleBook = FULL) -> Laid:
        problem = prepare.problem(asked, rules)
        draft = whiteboard(problem)
        return cls(asked, rules, draft, expanded(asked, problem, draft))

    def explained(self, patience: Patience = STEPS, watch: Listen | None = None) -> Plan:
        return explained(
            self.asked, self.rules, self.plan, self.draft, patience=patience, watch=watch
        )

    def only_waiting(self) -> Waiting:
        """The only note on the waiting list, explained."""
        (waiting,) = self.explained().waiting
        return waiting


def places_all(asked: Asked, rules: RuleBook = FULL) -> bool:
    """Whether a short climb from the whiteboard plan places every note whole and keeps every
    rule."""
    problem = prepare.problem(asked, rules)
    climber = Climber(problem, seed=1)
    draft = climber.round(whiteboard(problem), Budget(None, CLIMB_STEPS, 0.0), lambda *_: None)
    plan = expanded(asked, problem, draft)
    return not plan.waiting and not verify(asked, plan, rules)


def with_note(asked: Asked, note_id: str, **changes: Any) -> Asked:
    notes = (replace(each, **changes) if each.id == note_id else each for each in asked.notes)
    return replace(asked, notes=tuple(notes))


def with_kitchen(asked: Asked, **changes: Any) -> Asked:
    return replace(asked, kitchen=replace(asked.kitchen, **changes))


def late_latest_start() -> Asked:
    """N1 dries in D1 until Tuesday; N2 has to start on Monday."""
    return week(
        place(),
        note("N1", "G1", "tomato", FULL_DRYER_G, latest_start=at("Mon 11:00"), may_split=False),
        note("N2", "G2", "tomato", 30_000, latest_start=at("Mon 20:00")),
    )


def no_dryer_for_the_group() -> Asked:
    """D1 and D2 refuse hot crops."""
    mild = frozenset({"mild"})
    dryers = (dryer("D1", groups=mild), dryer("D2", groups=mild, hottest_c=50.0))
    return week(place(*dryers), note("N1", "G1", "chili", 30_000))


def too_few_hands() -> Asked:
    """N1's lone grower needs a hand at her side on Monday afternoon; the hands leave at noon."""
    hands = (Hand("Jun", "hand", weekly("Mon Tue Wed Thu Fri Sat", "07:00", "12:00")),)
    lone = grower("G1", people=1, cannot=weekly("Tue Wed", "00:00", "00:00"))
    return week(
        place(hands=hands),
        note("N1", "G1", "tomato", 30_000, arrives=at("Mon 12:30"), latest_start=at("Mon 19:00")),
        growers=(lone,),
    )


def one_table() -> Asked:
    """Both notes need an hour at the only table before nine; N2's grower cannot come after that."""
    before_nine = {"latest_start": at("Mon 09:00"), "may_split": False}
    busy = grower(
        "G2", cannot=(*weekly("Mon", "09:00", "19:00"), *weekly("Tue Wed", "00:00", "00:00"))
    )
    small = place(dryer("D1"), dryer("D2"), tables=(Table("T2", "Table 2", 100),), hands=HANDS[:1])
    return week(
        small,
        note("N1", "G1", "tomato", 40_000, **before_nine),
        note("N2", "G2", "tomato", 40_000, **before_nine),
        growers=(busy,),
    )


def too_large_for_one_charge() -> Asked:
    """24 racks in two dryers of 20; the grower does not allow the lot to be split."""
    return week(
        place(dryer("D1"), dryer("D2")), note("N1", "G1", "tomato", 75_000, may_split=False)
    )


def too_late_in_the_week() -> Asked:
    """A run of 15 hours from Saturday noon could only be taken out on Monday."""
    return week(
        place(),
        note("N1", "G1", "tomato", 30_000, arrives=at("Sat 11:00"), latest_start=at("Sat 13:00")),
    )


def full_dryer() -> Asked:
    """N1 fills D1 on Monday; N2's grower can come on no other day before Friday."""
    away = grower("G2", cannot=weekly("Tue Wed Thu", "00:00", "00:00"))
    cards = tuple(replace(each, pack_within_s=hours(120)) for each in CARDS)
    asked = week(
        place(),
        note("N1", "G1", "tomato", FULL_DRYER_G, latest_start=at("Mon 12:00"), may_split=False),
        note("N2", "G2", "tomato", FULL_DRYER_G, latest_start=at("Mon 18:00"), may_split=False),
        growers=(away,),
    )
    return replace(asked, cards=cards)


def short_supply() -> Asked:
    """Two dryers of 7.5 kW on a supply of 8 kW; both notes have to start on Monday."""
    limits = replace(LIMITS, supply_watts=8000)
    monday = {"latest_start": at("Mon 18:00"), "may_split": False}
    return week(
        place(dryer("D1"), dryer("D2"), limits=limits),
        note("N1", "G1", "tomato", FULL_DRYER_G, **monday),
        note("N2", "G2", "tomato", FULL_DRYER_G, **monday),
    )


def long_wash_down() -> Asked:
    """After the onions a wash-down of 11 hours; without it the chili would start in time."""
    slow = dryer("D1", wash_down_s=11 * 3600)
    return week(
        place(slow),
        note("N1", "G1", "onion", 40_000, latest_start=at("Mon 10:00")),
        note("N2", "G2", "chili", 20_000, latest_start=at("Mon 18:00")),
    )


def one_table_and_few_crates() -> Asked:
    """As one_table, and a cold store that holds the crates of one note only."""
    return with_kitchen(one_table(), cold_store=replace(COLD_STORE, crates=7))


def place_for_one_more() -> Asked:
    """Nothing is in the way of either note."""
    return week(place(), note("N1", "G1", "tomato", 30_000), note("N2", "G2", "tomato", 30_000))


def place_for_a_part() -> Asked:
    """Two charges; only one run can start by Monday evening."""
    return week(place(), note("N1", "G1", "tomato", 100_000, latest_start=at("Mon 18:00")))


def in_the_way() -> Laid:
    """N1, which keeps, was laid out first and has the only dryer on the only day that N2 has."""
    asked = week(
        place(),
        note("N1", "G1", "tomato", FULL_DRYER_G, latest_start=at("Wed 12:00"), may_split=False),
        note("N2", "G2", "tomato", FULL_DRYER_G, latest_start=at("Mon 18:00"), may_split=False),
    )
    problem = prepare.problem(asked)
    draft = filled(problem, Calendars(problem), [0, 1])
    return Laid(asked, FULL, draft, expanded(asked, problem, draft))
