"""Money of a period: what came in, what the kitchen paid, and what one kilogram more would take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.domain.kitchen import Costs
from scheduler.season import counts
from scheduler.season.bills import bill_lines, income
from scheduler.season.patronage import Patronage, cost_per_rack_hour, patronage
from scheduler.season.records import Season
from scheduler.season.turns import MemberLine
from scheduler.units import HOUR, MINUTE

RETAINED_PERCENT = 30  # demo: what of the surplus is kept as equity
WH_100_KWH = 100_000
KG, MINOR = 1000, 100
NOT_COUNTED = (
    "Not counted: repairs, insurance, interest and floor space; hands' paid hours beyond work by"
    " name; the growers' own work; what the dried food sells for."
)


@dataclass(frozen=True, slots=True)
class Money:
    """Minor units of the period. costs, surplus: None where nobody told the costs."""

    income: int
    costs: int | None
    surplus: int | None
    cost_per_rack_hour: float | None
    parts: tuple[Patronage, ...]


def money_of(season: Season, lines: Sequence[MemberLine]) -> Money:
    came = income(bill_lines(season))
    if season.costs is None:
        return Money(came, None, None, None, ())
    surplus = came - season.costs
    each = float(cost_per_rack_hour(season.costs, counts.loaded_s(season)))
    parts = patronage(lines, surplus, retained_percent=RETAINED_PERCENT)
    return Money(came, season.costs, surplus, each, parts)


@dataclass(frozen=True, slots=True)
class PerKg:
    """What preparing and drying came to in a period, over its prepared grams: Wh reckoned for the
    water, seconds of the hands' named duties, fees in minor units."""

    prepared_g: int
    watt_h: int
    hands_s: int
    fees: int
    costs: Costs

    def electricity(self, grams: int) -> int:
        """Minor units, by the season's mean, for so many prepared grams more."""
        return self._of(grams, self.watt_h * self.costs.electricity_100_kwh, WH_100_KWH)

    def hands(self, grams: int) -> int:
        return self._of(grams, self.hands_s * self.costs.hand_hour, HOUR)

    def brings(self, grams: int) -> int:
        return self._of(grams, self.fees, 1)

    def rise(self, grams: int, amount: int) -> float:
        """By what part of itself every fee must rise to bring that amount more from so many grams
        more, and from all there were. There were fees."""
        return (self.fees + amount) * self.prepared_g / (self.fees * (self.prepared_g + grams)) - 1

    def _of(self, grams: int, amount: int, unit: int) -> int:
        return round(grams * amount / (self.prepared_g * unit)) if self.prepared_g else 0


NOTHING = PerKg(0, 0, 0, 0, Costs())


def per_kg(season: Season) -> PerKg:
    _, prepared, _, watt_h = counts.prepared_and_dried(season)
    return PerKg(
        prepared, watt_h, counts.duty_s(season), income(bill_lines(season)), season.kitchen.costs
    )


def counted(spent: PerKg, currency: str) -> str:
    """What a kilogram more is reckoned with, whence, and what is not in it."""
    if not spent.prepared_g:
        return NOT_COUNTED
    kwh = spent.watt_h / spent.prepared_g
    minutes = spent.hands_s * KG / MINUTE / spent.prepared_g
    power, work = (each(KG) / MINOR for each in (spent.electricity, spent.hands))
    costs = spent.costs
    return (
        f"To run it, a kilogram, by these weeks' means: {kwh:.2f} kWh, {power:.2f} {currency}, at"
        f" {costs.electricity_100_kwh / MINOR:.2f} for 100 kWh; {minutes:.1f} minutes of hands'"
        f" work by name, {work:.2f} {currency}, at {costs.hand_hour / MINOR:.2f} an hour, but none"
        f" where a shift is paid. Source of prices: {costs.source}. {NOT_COUNTED}"
    )
