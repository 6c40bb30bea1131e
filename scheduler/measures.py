"""How full the week is: fractions with numerator, denominator, definition and period."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, seconds_within, without
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer, Kitchen
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.process.yields import trimmed_g
from scheduler.started import all_runs
from scheduler.units import HOUR, Grams

OCCUPIED = "drying hours over calendar hours"
RACK_USE = "loaded rack-hours over racks x calendar hours; cool hold is not counted"
FILL = "loaded rack-hours over racks x hours of the dryers while they dry"
TABLE_HOURS = "pair-hours of cutting over tables x staffed hours"
DOWN = "hours in which a dryer stood still over calendar hours of all dryers"
RACKS_DOWN = "racks x hours in which their dryer stood still over racks x calendar hours"


@dataclass(frozen=True, slots=True)
class Fraction:
    """numerator_s and denominator_s in seconds of the unit (unit "rack-hours": rack-seconds)."""

    name: str
    numerator_s: int
    denominator_s: int
    unit: str
    definition: str
    period: Span

    @property
    def numerator(self) -> float:
        return self.numerator_s / HOUR

    @property
    def denominator(self) -> float:
        return self.denominator_s / HOUR

    @property
    def share(self) -> float:
        """0 where nothing could be used at all."""
        return self.numerator_s / self.denominator_s if self.denominator_s else 0.0


@dataclass(frozen=True, slots=True)
class DryerUse:
    """One dryer's own fractions."""

    dryer_id: str
    occupied: Fraction
    rack_use: Fraction


@dataclass(frozen=True, slots=True)
class Measures:
    """The four honest answers to "how full are we?"; table_hours is None where not laid out."""

    period: Span
    occupied: Fraction
    rack_use: Fraction
    fill: Fraction
    table_hours: Fraction | None
    dryers: tuple[DryerUse, ...]

    @property
    def four(self) -> tuple[Fraction, ...]:
        """The fractions that were laid out, in the order they are read."""
        found = (self.occupied, self.rack_use, self.fill, self.table_hours)
        return tuple(each for each in found if each is not None)


def measure(asked: Asked, plan: Plan) -> Measures:
    """All fractions of the week, from its first opening to its last closing.

    Raises ValueError if the kitchen is not staffed at all that week.
    """
    period = open_period(asked)
    runs = all_runs(asked, plan)
    dryers = tuple(
        _one_dryer(dryer, [run for run in runs if run.dryer_id == dryer.id], period)
        for dryer in asked.kitchen.dryers
    )
    racks_of = {dryer.id: dryer.racks for dryer in asked.kitchen.dryers}
    hours = sum(each.occupied.numerator_s for each in dryers)
    loaded = sum(each.rack_use.numerator_s for each in dryers)
    could_load = sum(each.rack_use.denominator_s for each in dryers)
    running = sum(racks_of[each.dryer_id] * each.occupied.numerator_s for each in dryers)
    calendar = len(dryers) * period.seconds
    return Measures(
        period=period,
        occupied=Fraction("Dryers occupied", hours, calendar, "hours", OCCUPIED, period),
        rack_use=Fraction("Rack use", loaded, could_load, "rack-hours", RACK_USE, period),
        fill=Fraction("Fill when running", loaded, running, "rack-hours", FILL, period),
        table_hours=_table_hours(asked, plan, period),
        dryers=dryers,
    )


def lost(
    kitchen: Kitchen, outages: Iterable[Outage], period: Span, *, until: datetime
) -> tuple[Fraction, Fraction]:
    """Dryer hours and rack-hours of the period that stops took, as far as they lie before until.

    A dryer that is still down is counted up to then, one that stopped twice at a time once.
    """
    stops = tuple(outages)
    down = {each.id: _down_s(each.id, stops, period, until=until) for each in kitchen.dryers}
    racks = sum(each.racks for each in kitchen.dryers)
    racks_down = sum(each.racks * down[each.id] for each in kitchen.dryers)
    hours, all_racks = len(kitchen.dryers) * period.seconds, racks * period.seconds
    return (
        Fraction("Dryers down", sum(down.values()), hours, "hours", DOWN, period),
        Fraction("Racks down", racks_down, all_racks, "rack-hours", RACKS_DOWN, period),
    )


def _down_s(station_id: str, stops: Iterable[Outage], period: Span, *, until: datetime) -> int:
    gaps = (stopped_for(each, until) for each in stops if each.station_id == station_id)
    up = without((period,), (gap for gap in gaps if gap.start < gap.end))
    return period.seconds - sum(each.seconds for each in up)


def stopped_for(stop: Outage, until: datetime) -> Span:
    """From its stop to its return, but no longer than to that instant."""
    return Span(stop.stopped, max(stop.stopped, min(stop.back or until, until)))


@dataclass(frozen=True, slots=True)
class Rescued:
    """Notes that ask for a place, and how far they got one. A note is placed when all of it is."""

    asked_notes: int
    placed_notes: int
    part_placed_notes: int
    asked_field_g: Grams
    placed_field_g: Grams
    asked_prepared_g: Grams
    placed_prepared_g: Grams


def rescued(asked: Asked, plan: Plan) -> Rescued:
    """What was asked for and what has a place; lots in runs already started ask no more."""
    placed: dict[str, list[Charge]] = {}
    for _, charge in plan.charges():
        placed.setdefault(charge.note_id, []).append(charge)
    notes = list(asked.open_notes())
    charges = [charge for each in placed.values() for charge in each]
    whole = sum(is_whole(note, placed[note.id]) for note in notes if note.id in placed)
    return Rescued(
        asked_notes=len(notes),
        placed_notes=whole,
        part_placed_notes=len(placed) - whole,
        asked_field_g=Grams(sum(note.field_g for note in notes)),
        placed_field_g=Grams(sum(charge.field_g for charge in charges)),
        asked_prepared_g=Grams(sum(_prepared_g(asked, note) for note in notes)),
        placed_prepared_g=Grams(sum(charge.prepared_g for charge in charges)),
    )


def is_whole(note: HarvestNote, charges: Sequence[Charge]) -> bool:
    """Whether those charges are all of it; each charge may round a gram away."""
    return note.field_g - sum(charge.field_g for charge in charges) <= len(charges)


def _prepared_g(asked: Asked, note: HarvestNote) -> Grams:
    return trimmed_g(note.field_g, asked.card(note.card_id).trim_loss_percent)


def open_period(asked: Asked) -> Span:
    """From the first opening to the last closing of the week; ValueError if it never opens."""
    staffed = asked.kitchen.staffed_spans(asked.week.days)
    if not staffed:
        raise ValueError(f"the kitchen is closed all of {asked.week}")
    return Span(staffed[0].start, staffed[-1].end)


def _one_dryer(dryer: Dryer, runs: Iterable[Run], period: Span) -> DryerUse:
    hours = loaded = 0
    for run in runs:
        within = seconds_within((period,), run.start, run.end)
        hours += within
        loaded += run.racks * within
    calendar = period.seconds
    occupied = Fraction(f"{dryer.id} occupied", hours, calendar, "hours", OCCUPIED, period)
    rack_use = Fraction(
        f"{dryer.id} rack use", loaded, dryer.racks * calendar, "rack-hours", RACK_USE, period
    )
    return DryerUse(dryer.id, occupied, rack_use)


def _table_hours(asked: Asked, plan: Plan, period: Span) -> Fraction | None:
    prepared = [charge.preparation for _, charge in plan.charges() if charge.preparation]
    if plan.runs and not prepared:
        return None
    worked = sum(len(each.tables) * each.cut.seconds for each in prepared)
    staffed = sum(span.seconds for span in asked.kitchen.staffed_spans(asked.week.days))
    could_work = len(asked.kitchen.tables) * staffed
    return Fraction("Table hours", worked, could_work, "pair-hours", TABLE_HOURS, period)
