"""What a lot costs its grower: fee lines in whole minor units, and the price a bag must bring."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from math import ceil, floor
from zoneinfo import ZoneInfo

from scheduler.domain.clock import Span, local_instant, seconds_within
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import ColdStore, Fees
from scheduler.domain.plan import Charge, Run
from scheduler.domain.process_card import ProcessCard
from scheduler.units import DAY, HOUR, Grams, Racks, Seconds, ceil_div

HOURS_OF_DAY = 24


@dataclass(frozen=True, slots=True)
class Usage:
    """What one lot used of the kitchen. A pair counts how many (racks, crates) and for how long."""

    tables: tuple[Span, ...] = ()
    steam_loads: int = 0
    racks: tuple[tuple[Racks, Span], ...] = ()  # from run start to the end of drying
    crates: tuple[tuple[int, Span], ...] = ()
    benches: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True)
class FeeLine:
    """One line of a bill: quantity x price, to the nearest minor unit."""

    what: str
    quantity: Fraction
    price: int

    @property
    def amount(self) -> int:
        return floor(self.quantity * self.price + Fraction(1, 2))


@dataclass(frozen=True, slots=True)
class BreakEven:
    """Least price of a bag, in minor units, that covers a lot with and without own hours."""

    with_own_hours: int
    without_own_hours: int


def usage_of(
    note: HarvestNote, card: ProcessCard, store: ColdStore, *, placed: Iterable[tuple[Run, Charge]]
) -> Usage:
    """What the charges of one note use; crates are taken from arrival until cutting starts."""
    charges = tuple(placed)
    prepared = tuple((charge, charge.preparation) for _, charge in charges if charge.preparation)
    crates = (
        (ceil_div(charge.field_g, store.crate_g), Span(note.arrives, made.cut.start))
        for charge, made in prepared
        if not card.waits_outside_cold
    )
    return Usage(
        tables=tuple(made.cut for _, made in prepared for _ in made.tables),
        steam_loads=sum(len(made.steam_loads) for _, made in prepared),
        racks=tuple((charge.racks, Span(run.start, run.end)) for run, charge in charges),
        crates=tuple(crates),
        benches=tuple(charge.after.packing for _, charge in charges if charge.after),
    )


def fee_lines(
    usage: Usage, fees: Fees, *, zone: ZoneInfo, member: bool = True
) -> tuple[FeeLine, ...]:
    """The lines of a lot's bill, those without quantity left out.

    Table hours turn cheaper late in the day and rack-hours at night, by the kitchen's clock. A
    crate-day is a started day. Source of the fees: the kitchen file (demo).
    """
    late_s = sum(
        _within(each, fees.late_from_hour, HOURS_OF_DAY, zone=zone) for each in usage.tables
    )
    table_s = sum(each.seconds for each in usage.tables)
    night_s = sum(night_rack_s(racks, span, fees, zone=zone) for racks, span in usage.racks)
    rack_s = sum(racks * span.seconds for racks, span in usage.racks)
    crate_days = sum(count * ceil_div(stay.seconds, DAY) for count, stay in usage.crates)
    bench_s = sum(each.seconds for each in usage.benches)
    night, late = f"{fees.night_from_hour}:00", f"{fees.late_from_hour}:00"
    lines = (
        FeeLine("table hours", Fraction(table_s - late_s, HOUR), fees.table_hour),
        FeeLine(f"table hours after {late}", Fraction(late_s, HOUR), fees.table_hour_late),
        FeeLine("steam loads", Fraction(usage.steam_loads), fees.steam_load),
        FeeLine("rack-hours by day", Fraction(rack_s - night_s, HOUR), fees.rack_hour_day),
        FeeLine(f"rack-hours after {night}", Fraction(night_s, HOUR), fees.rack_hour_night),
        FeeLine("crate-days", Fraction(crate_days), fees.crate_day),
        FeeLine("bench hours", Fraction(bench_s, HOUR), fees.bench_hour),
    )
    kept = tuple(line for line in lines if line.quantity)
    if member:
        return kept
    surcharge = Fraction(fees.non_member_percent, 100)
    return (*kept, FeeLine("non-member surcharge", surcharge, total(kept)))


def night_rack_s(racks: int, span: Span, fees: Fees, *, zone: ZoneInfo) -> int:
    """Rack-seconds of the span that lie in the night hours of the fees."""
    return racks * _within(span, fees.night_from_hour, fees.night_to_hour, zone=zone)


def total(lines: Iterable[FeeLine]) -> int:
    """Sum of a bill in minor units."""
    return sum(line.amount for line in lines)


def own_work(person_s: Seconds, fees: Fees) -> int:
    """What growers reckon for their own work, person-seconds to the nearest minor unit."""
    return FeeLine("own hours", Fraction(person_s, HOUR), fees.own_hour).amount


def break_even(cash: int, bags: int, *, own: int, raw_value: int = 0) -> BreakEven:
    """Price of a bag from fees and packs paid, own hours and what the raw crop would have brought.

    Minor units, rounded up so that no bag is sold at a loss; ValueError where there are no bags.
    Source: (raw value forgone + own hours + fees + packs) / bags, demo arithmetic.
    """
    if bags < 1:
        raise ValueError("a lot that fills no bag has no price to break even at")
    paid = cash + raw_value
    return BreakEven(ceil_div(paid + own, bags), ceil_div(paid, bags))


def cost_per_kg(cost: int, dried_g: Grams) -> int:
    """Minor units per kg of dried food, rounded up; dried weight above nought."""
    return ceil(Fraction(cost * 1000, dried_g))


def _within(span: Span, from_hour: int, to_hour: int, *, zone: ZoneInfo) -> Seconds:
    """How much of a span lies between two hours of the wall clock, which may pass midnight."""
    if to_hour <= from_hour:
        to_hour += HOURS_OF_DAY
    eve = span.start.astimezone(zone).date() - timedelta(days=1)  # whose night may reach into it
    nights = (span.end.astimezone(zone).date() - eve).days + 1
    days = (eve + timedelta(days=each) for each in range(nights))
    windows = (Span(_at(day, from_hour, zone=zone), _at(day, to_hour, zone=zone)) for day in days)
    return seconds_within(windows, span.start, span.end)


def _at(day: date, hour: int, *, zone: ZoneInfo) -> datetime:
    days, hour = divmod(hour, HOURS_OF_DAY)
    return local_instant(day + timedelta(days=days), time(hour), zone)
