"""What the page "Week on the racks" shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import ClassVar

from api.records.plans import KeptPlan
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan, Proof, Run, Waiting
from scheduler.domain.rules import SIMPLE
from scheduler.measures import Fraction, Measures, measure, rescued
from scheduler.started import all_runs
from scheduler.units import Grams
from scheduler.wording import why_not
from web.views.fees import fees_link
from web.views.links import Link, day_links, version, week_link
from web.views.page import Page
from web.views.reading import N_, Reading
from web.views.strips import Drawing, drawing

GOALS = {
    "worth": N_("the most rescued"),
    "keeping": N_("the least keeping time used"),
    "spend": N_("the least spent on dryers, wash-downs and hands"),
    "calm": N_("few turns, packed early"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A large figure and the words that make it honest."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class RunRow:
    """One run as a row of the table."""

    start: str
    dryer_id: str
    lots: tuple[str, ...]
    racks: str
    ends: str
    cool_hold: str


@dataclass(frozen=True, slots=True)
class DayRuns:
    """The runs that start on one day."""

    day: str
    href: str
    runs: tuple[RunRow, ...]


@dataclass(frozen=True, slots=True)
class FractionRow:
    name: str
    share: str
    fraction: str
    definition: str


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """A note without a place, and why: sentences."""

    lot: str
    why: str


@dataclass(frozen=True, slots=True)
class WeekPage(Page):
    """Week on the racks: four figures, the strips, the waiting list, the same as a table.

    by_hand: the whiteboard plan is among the figures.
    """

    template: ClassVar[str] = "week.html"
    kitchen: str
    days: str
    week: str
    state: str
    version: str
    easier: bool
    figures: tuple[Figure, ...]
    by_hand: bool
    goals: str
    drawing: Drawing
    hatches: tuple[tuple[str, str], ...]  # hatch, name of the group
    day_links: tuple[Link, ...]
    table: tuple[DayRuns, ...]
    fractions: tuple[FractionRow, ...]
    waiting: tuple[WaitingRow, ...]
    beside: Link
    fees: Link
    previous: Link | None
    following: Link | None


def week_page(kept: KeptPlan, weeks: tuple[Week, ...], reading: Reading) -> WeekPage:
    """The page of one kept plan; weeks are all that have a plan, in order."""
    asked, plan = kept.asked, kept.plan
    measures = measure(asked, plan)
    before = [week_link(each) for each in weeks if each < plan.week]
    after = [week_link(each) for each in weeks if each > plan.week]
    return WeekPage(
        kitchen=asked.kitchen.name,
        days=_days(measures, reading),
        week=str(plan.week),
        state=kept.state,
        version=version(kept, reading),
        easier=plan.rules == SIMPLE.name,
        figures=(*_weights(asked, plan, reading), _rack_hours(measures, reading)),
        by_hand=plan.proof is not None,
        goals=reading.say(
            "The members' order: %(goals)s.",
            goals="; ".join(reading.say(GOALS[goal]) for goal in asked.kitchen.goals),
        ),
        drawing=drawing(asked, plan, measures, reading),
        hatches=tuple((group.hatch, group.name) for group in asked.kitchen.groups),
        day_links=day_links(asked, reading),
        table=tuple(_table(asked, plan, reading)),
        fractions=tuple(_fraction(each, reading) for each in measures.four),
        waiting=tuple(_waiting(asked, each, reading) for each in plan.waiting),
        beside=Link(reading.say("The plan beside the whiteboard plan"), f"/plans/{kept.number}"),
        fees=fees_link(reading, plan.week),
        previous=before[-1] if before else None,
        following=after[0] if after else None,
    )


def _days(measures: Measures, reading: Reading) -> str:
    first, last = (reading.day(at) for at in (measures.period.start, measures.period.end))
    year = reading.local(measures.period.end).year
    return reading.say("%(first)s to %(last)s %(year)s", first=first, last=last, year=year)


def _weights(asked: Asked, plan: Plan, reading: Reading) -> Iterator[Figure]:
    found, say = rescued(asked, plan), reading.say
    words = say(
        "of %(asked)s prepared weight rescued; %(placed)s of %(notes)s notes whole",
        asked=reading.weight(found.asked_prepared_g),
        placed=found.placed_notes,
        notes=found.asked_notes,
    )
    if found.part_placed_notes:
        words += say(", %(part)s more in part", part=found.part_placed_notes)
    yield Figure(reading.weight(found.placed_prepared_g), words)
    if plan.proof is None:
        yield Figure(say("no bound"), say("how much could still be won has not been reckoned"))
        yield Figure(say("no whiteboard"), say("no plan by hand stands beside this one"))
        return
    yield from _proof(plan.proof, reading)


def _proof(proof: Proof, reading: Reading) -> Iterator[Figure]:
    left, ahead = Grams(proof.bound_g - proof.worth_g), proof.worth_g - proof.whiteboard_g
    yield Figure(
        reading.weight(left),
        reading.say(
            "at most left to win: %(gap)s of the proven bound, %(bound)s",
            gap=reading.percent(proof.gap),
            bound=reading.weight(proof.bound_g),
        ),
    )
    sign = "+" if ahead >= 0 else "−"  # noqa: RUF001 a minus sign, to be read
    yield Figure(
        f"{sign} {reading.weight(Grams(abs(ahead)))}",
        reading.say(
            "against the whiteboard plan, %(whiteboard)s",
            whiteboard=reading.weight(proof.whiteboard_g),
        ),
    )


def _rack_hours(measures: Measures, reading: Reading) -> Figure:
    use = measures.rack_use
    words = reading.say(
        "of %(all)s rack-hours loaded, %(share)s",
        all=reading.number(use.denominator),
        share=reading.percent(use.share),
    )
    return Figure(reading.number(use.numerator), words)


def _table(asked: Asked, plan: Plan, reading: Reading) -> Iterator[DayRuns]:
    by_day = groupby(all_runs(asked, plan), key=lambda run: reading.local(run.start).date())
    for day, runs in by_day:
        rows = tuple(_run(asked, run, reading) for run in runs)
        yield DayRuns(reading.day(day), f"/day-sheets/{day}", rows)


def _run(asked: Asked, run: Run, reading: Reading) -> RunRow:
    day = reading.local(run.start).date()
    lots = (
        f"{charge.code} {asked.card(asked.note(charge.note_id).card_id).name}, {charge.racks}"
        for charge in run.charges
    )
    racks = asked.kitchen.dryer(run.dryer_id).racks
    return RunRow(
        start=reading.clock(run.start),
        dryer_id=run.dryer_id,
        lots=tuple(lots),
        racks=reading.say("%(racks)s of %(all)s", racks=run.racks, all=racks),
        ends=reading.clock_from(run.end, day),
        cool_hold=reading.clock_from(run.released, day) if run.released > run.end else "",
    )


def _fraction(each: Fraction, reading: Reading) -> FractionRow:
    return FractionRow(
        reading.say(each.name),
        reading.percent(each.share),
        reading.say(
            "%(part)s of %(all)s %(unit)s",
            part=reading.number(each.numerator, 1),
            all=reading.number(each.denominator, 1),
            unit=reading.say(each.unit),
        ),
        reading.say(each.definition),
    )


def _waiting(asked: Asked, waiting: Waiting, reading: Reading) -> WaitingRow:
    note = asked.note(waiting.note_id)
    crop, farm = asked.card(note.card_id).name, asked.grower(note.grower_id).farm
    amount = reading.weight(waiting.field_g)
    part = "" if waiting.field_g == note.field_g else reading.say(" of it")
    return WaitingRow(f"{note.id} {crop}, {farm}, {amount}{part}", why_not(waiting))
