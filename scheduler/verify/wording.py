"""Instants, durations, weights and temperatures in the words of the kitchen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from scheduler import units
from scheduler.domain.clock import Span
from scheduler.units import HOUR, MINUTE, Grams

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def lasting(seconds: float) -> str:
    """A duration: "1 h 30 min", "20 min", "45 s"."""
    hours, rest = divmod(int(seconds), HOUR)
    minutes, left = divmod(rest, MINUTE)
    parts = ((hours, "h"), (minutes, "min"), (left, "s"))
    return " ".join(f"{amount} {unit}" for amount, unit in parts if amount) or "no time"


@dataclass(frozen=True, slots=True)
class Wording:
    """How one kitchen tells time, weight and heat."""

    zone: ZoneInfo
    weight_unit: Literal["kg", "lb"]
    temperature_unit: Literal["C", "F"]

    def at(self, instant: datetime) -> str:
        """An instant by the kitchen's clock: "Mon 17 Aug 09:05"."""
        local = instant.astimezone(self.zone)
        seconds = f"{local:%H:%M:%S}" if local.second or local.microsecond else f"{local:%H:%M}"
        return f"{_DAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]} {seconds}"

    def when(self, span: Span) -> str:
        """A span by the kitchen's clock."""
        return f"{self.at(span.start)} to {self.at(span.end)}"

    def weight(self, amount: int) -> str:
        """A weight to the gram (or a thousandth of a pound)."""
        value = units.kg(Grams(amount)) if self.weight_unit == "kg" else units.lb(Grams(amount))
        return f"{value:.3f}".rstrip("0").rstrip(".") + f" {self.weight_unit}"

    def heat(self, celsius: float) -> str:
        """A temperature to a tenth of a degree."""
        value = celsius if self.temperature_unit == "C" else units.fahrenheit(celsius)
        return f"{value:.1f}".removesuffix(".0") + f" °{self.temperature_unit}"

    def degrees(self, difference_c: float) -> str:
        """A difference of temperatures, to a tenth of a degree."""
        in_f = units.fahrenheit(difference_c) - units.fahrenheit(0)
        value = difference_c if self.temperature_unit == "C" else in_f
        return f"{value:.1f}".removesuffix(".0") + f" °{self.temperature_unit}"
