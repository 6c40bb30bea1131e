"""How many more hours a crop needs that failed its dry check: from its readings and its card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, log

from scheduler.domain.process_card import ProcessCard
from scheduler.process.dry_check import Reading
from scheduler.process.drying import Conditions, Known, Range, hours_left, lewis_k
from scheduler.process.sorption import POTATO
from scheduler.process.yields import dry_basis, wet_percent
from scheduler.units import GRID, HOUR, Seconds, ceil_div

READ_AT_C = 25.0  # the temperature of a closed sample when it is read: common practice


def more_hours(
    card: ProcessCard, readings: Sequence[Reading], *, celsius: float | None = None
) -> Range | None:
    """Hours from the worst readings to what the card dries to; None where nothing was read over a
    limit, or what was read tells nothing (no moisture at all).

    celsius: the set point, if not the card's. Where water activity is over its limit, the moisture
    must fall as potato's isotherm says it does between the two, the only one with a source.
    Source: Lewis curve through the card (scheduler.process.drying); GAB (sorption).
    """
    if not readings or not _is_over(card, readings):
        return None
    moisture = max(each.moisture_percent for each in readings)
    aim = min(card.water_out_percent, _moisture_at_limit(card, readings, moisture))
    if aim <= 0:
        return None
    known = _dried_to(Known.of(card), aim)
    at = Conditions(card.set_point_c if celsius is None else celsius)
    return hours_left(known, at, water_percent=moisture)


def proposed_s(hours: Range) -> Seconds:
    """The likely hours as a run lasts: to the next five minutes (rule 1)."""
    return Seconds(max(1, ceil_div(ceil(hours.likely * HOUR), GRID)) * GRID)


def _is_over(card: ProcessCard, readings: Sequence[Reading]) -> bool:
    limits = card.dry_check
    return any(
        each.water_activity > limits.most_water_activity
        or each.moisture_percent > limits.most_moisture_percent
        for each in readings
    )


def _moisture_at_limit(card: ProcessCard, readings: Sequence[Reading], moisture: float) -> float:
    """What the worst moisture comes down to while the worst activity falls to the card's limit."""
    read = max(each.water_activity for each in readings)
    most = card.dry_check.most_water_activity
    if read <= most:
        return moisture
    curve = POTATO.at(READ_AT_C)
    return wet_percent(dry_basis(moisture) * curve.moisture(most) / curve.moisture(read))


def _dried_to(known: Known, water_percent: float) -> Known:
    """The same drying, gone on to another moisture at the same rate."""
    way = log(dry_basis(known.water_in_percent)) - log(dry_basis(water_percent))
    return replace(known, hours=way / lewis_k(known), water_out_percent=water_percent)
