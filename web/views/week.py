"""What the page "Week on the racks" shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from api.records.plans import KeptPlan
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan, Proof, Run, Waiting
from scheduler.domain.rules import SIMPLE
from scheduler.measures import Fraction, Measures, measure, rescued
from scheduler.started import all_runs
from scheduler.units import Grams
from scheduler.wording import clock, clock_from, day_and_month, percent, plain, weight, why_not
from web.views.links import Link, day_links, version, week_link
from web.views.strips import Drawing, drawing


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
    """The page of one kept plan; weeks are all that have a plan, in order."""
    asked, plan = kept.asked, kept.plan
    measures = measure(asked, plan)
    before = [week_link(each) for each in weeks if each < plan.week]
    after = [week_link(each) for each in weeks if each > plan.week]
    return WeekPage(
        kitchen=asked.kitchen.name,
        days=_days(asked, measures),
        week=str(plan.week),
        state=kept.state,
        version=version(kept),
        easier=plan.rules == SIMPLE.name,
        figures=(*_weights(asked, plan), _rack_hours(measures)),
        drawing=drawing(asked, plan, measures),
        hatches=tuple((group.hatch, group.name) for group in asked.kitchen.groups),
        day_links=day_links(asked),
        table=tuple(_table(asked, plan)),
        fractions=tuple(_fraction(each) for each in measures.four),
        waiting=tuple(_waiting(asked, each) for each in plan.waiting),
        previous=before[-1] if before else None,
        following=after[0] if after else None,
    )


def _days(asked: Asked, measures: Measures) -> str:
    zone, period = asked.kitchen.zone, measures.period
    first, last = period.start.astimezone(zone), period.end.astimezone(zone)
    month = "" if first.month == last.month else f" {first:%B}"
    return f"{first.day}{month} to {last.day} {last:%B} {last.year}"


def _weights(asked: Asked, plan: Plan) -> Iterator[Figure]:
    found, unit = rescued(asked, plan), asked.kitchen.weight_unit
    part = f", {found.part_placed_notes} more in part" if found.part_placed_notes else ""
    yield Figure(
        weight(found.placed_prepared_g, unit),
        f"of {weight(found.asked_prepared_g, unit)} prepared weight rescued; "
        f"{found.placed_notes} of {found.asked_notes} notes whole{part}",
    )
    if plan.proof is None:
        yield Figure("no bound", "how much could still be won has not been reckoned")
        yield Figure("no whiteboard", "no plan by hand stands beside this one")
        return
    yield from _proof(plan.proof, asked)


def _proof(proof: Proof, asked: Asked) -> Iterator[Figure]:
    unit = asked.kitchen.weight_unit
    left, ahead = Grams(proof.bound_g - proof.worth_g), proof.worth_g - proof.whiteboard_g
    yield Figure(
        weight(left, unit),
        f"at most left to win: {percent(proof.gap)} of the proven bound, "
        f"{weight(proof.bound_g, unit)}",
    )
    sign = "+" if ahead >= 0 else "−"  # noqa: RUF001 a minus sign, to be read
    yield Figure(
        f"{sign} {weight(Grams(abs(ahead)), unit)}",
        f"against the whiteboard plan, {weight(proof.whiteboard_g, unit)}",
    )


def _rack_hours(measures: Measures) -> Figure:
    use = measures.rack_use
    return Figure(
        plain(use.numerator),
        f"of {plain(use.denominator)} rack-hours loaded, {percent(use.share)}",
    )


def _table(asked: Asked, plan: Plan) -> Iterator[DayRuns]:
    zone = asked.kitchen.zone
    by_day = groupby(all_runs(asked, plan), key=lambda run: run.start.astimezone(zone).date())
    for day, runs in by_day:
        rows = tuple(_run(asked, run) for run in runs)
        yield DayRuns(day_and_month(day), f"/day-sheets/{day}", rows)


def _run(asked: Asked, run: Run) -> RunRow:
    start, end, released = (
        at.astimezone(asked.kitchen.zone) for at in (run.start, run.end, run.released)
    )
    lots = (
        f"{charge.code} {asked.card(asked.note(charge.note_id).card_id).name}, {charge.racks}"
        for charge in run.charges
    )
    return RunRow(
        start=clock(start),
        dryer_id=run.dryer_id,
        lots=tuple(lots),
        racks=f"{run.racks} of {asked.kitchen.dryer(run.dryer_id).racks}",
        ends=clock_from(end, start.date()),
        cool_hold=clock_from(released, start.date()) if released > end else "",
    )


def _fraction(each: Fraction) -> FractionRow:
    numerator, denominator = plain(each.numerator, decimals=1), plain(each.denominator, decimals=1)
    return FractionRow(
        each.name, percent(each.share), f"{numerator} of {denominator} {each.unit}", each.definition
    )


def _waiting(asked: Asked, waiting: Waiting) -> WaitingRow:
    note = asked.note(waiting.note_id)
    crop, farm = asked.card(note.card_id).name, asked.grower(note.grower_id).farm
    amount = weight(waiting.field_g, asked.kitchen.weight_unit)
    part = "" if waiting.field_g == note.field_g else " of it"
    return WaitingRow(f"{note.id} {crop}, {farm}, {amount}{part}", why_not(waiting))
