"""What the page "Week on the racks" shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from api.services.ports import KeptPlan
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan, Proof, Run, Waiting
from scheduler.domain.rules import SIMPLE, TITLES
from scheduler.measures import Fraction, Measures, measure, rescued
from scheduler.started import all_runs
from scheduler.units import Grams
from scheduler.wording import clock, clock_from, day_and_month, percent, plain, short_day, weight
from web.views.strips import Drawing, drawing


@dataclass(frozen=True, slots=True)
class Link:
    text: str
    href: str
    here: bool = False


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

    day: Link
    runs: tuple[RunRow, ...]


@dataclass(frozen=True, slots=True)
class FractionRow:
    name: str
    share: str
    fraction: str
    definition: str


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """A note without a place, why, and what would give it one. proof says how sure that is."""

    lot: str
    reason: str
    rule: str
    remedy: str
    proof: str


@dataclass(frozen=True, slots=True)
class WeekPage:
    """Week on the racks: four figures, the strips, the waiting list, the same as a table."""

    kitchen: str
    days: str
    week: str
    state: str
    version: str
    easier: bool
    figures: tuple[Figure, ...]
    drawing: Drawing
    hatches: tuple[tuple[str, str], ...]  # hatch, name of the group
    day_links: tuple[Link, ...]
    table: tuple[DayRuns, ...]
    fractions: tuple[FractionRow, ...]
    waiting: tuple[WaitingRow, ...]
    previous: Link | None
    following: Link | None


def week_page(kept: KeptPlan, weeks: tuple[Week, ...]) -> WeekPage:
    """The page of one kept plan; weeks are all that have a plan."""
    asked, plan = kept.asked, kept.plan
    measures = measure(asked, plan)
    first, last = (at.astimezone(asked.kitchen.zone).date() for at in _ends(measures))
    before = [each for each in weeks if each < plan.week]
    after = [each for each in weeks if each > plan.week]
    return WeekPage(
        kitchen=asked.kitchen.name,
        days=f"{first.day} {first:%B} to {last.day} {last:%B}",
        week=str(plan.week),
        state=kept.state,
        version=version(kept),
        easier=plan.rules == SIMPLE.name,
        figures=tuple(_figures(asked, plan, measures)),
        drawing=drawing(asked, plan, measures),
        hatches=tuple((group.hatch, group.name) for group in asked.kitchen.groups),
        day_links=day_links(asked),
        table=tuple(_table(asked, plan)),
        fractions=tuple(_fraction(each) for each in measures.four),
        waiting=tuple(_waiting(asked, each) for each in plan.waiting),
        previous=_to_week(before[-1]) if before else None,
        following=_to_week(after[0]) if after else None,
    )


def _ends(measures: Measures) -> tuple[date, date]:
    return measures.period.start, measures.period.end
