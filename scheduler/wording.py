"""How weights, temperatures, times and durations are written for people to read."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Literal

from scheduler.domain.harvest import Paper
from scheduler.domain.plan import Waiting
from scheduler.domain.process_card import ProcessCard
from scheduler.units import HOUR, MINUTE, Grams, fahrenheit, kg, lb

WeightUnit = Literal["kg", "lb"]
TemperatureUnit = Literal["C", "F"]
FEW, VERY_FEW = 100, 10  # below these a weight, a percentage is told to one decimal


def weight(amount: Grams, unit: WeightUnit = "kg") -> str:
    """ "1,208 kg", "4.4 kg": one decimal below 100, where it says something."""
    number = kg(amount) if unit == "kg" else lb(amount)
    return f"{plain(number, decimals=int(abs(number) < FEW))} {unit}"


def temperature(celsius: float, unit: TemperatureUnit = "C") -> str:
    """ "57 °C", "135 °F"."""
    number = celsius if unit == "C" else fahrenheit(celsius)
    return f"{plain(number, decimals=1 if unit == 'C' else 0)} °{unit}"


def duration(seconds: int) -> str:
    """ "15 h", "7 h 30 min", "2 min 30 s", "0 min"."""
    hours, rest = divmod(seconds, HOUR)
    minutes, odd = divmod(rest, MINUTE)
    parts = ((hours, "h"), (minutes, "min"), (odd, "s"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 min"


def clock(at: datetime) -> str:
    """ "08:15", with seconds only where there are any: "10:23:30"."""
    return f"{at:%H:%M:%S}" if at.second else f"{at:%H:%M}"


def clock_from(at: datetime, day: date) -> str:
    """The clock, with the weekday before it on any other day: "Wed 02:15"."""
    return clock(at) if at.date() == day else f"{at:%a} {clock(at)}"


def day_and_month(day: date) -> str:
    """ "Tuesday 18 August"."""
    return f"{day:%A} {day.day} {day:%B}"


def paper_short(paper: Paper) -> str:
    """ "insurance missing", "insurance ended Thursday 20 August" (rule 15)."""
    if paper.until is None:
        return f"{paper.kind} missing"
    return f"{paper.kind} ended {day_and_month(paper.until)}"


def letter_short(card: ProcessCard) -> str:
    """ "process letter pending", "process letter ended Wednesday 19 August" (rule 15)."""
    if not card.approved or card.approved_until is None:
        return "process letter pending"
    return f"process letter ended {day_and_month(card.approved_until)}"


def short_day(day: date) -> str:
    """ "Tue 18"."""
    return f"{day:%a} {day.day}"


def percent(share: float) -> str:
    """ "51 %"; one decimal below ten: "3.2 %"."""
    number = 100 * share
    return f"{plain(number, decimals=int(abs(number) < VERY_FEW))} %"


def money(minor: int, currency: str) -> str:
    """Minor units as "27.83 USD"."""
    return f"{minor // 100}.{minor % 100:02d} {currency}"


def plain(number: float, *, decimals: int = 0) -> str:
    """Thousands with commas; no decimals that are all noughts."""
    text = f"{number:,.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def count(number: int, thing: str) -> str:
    """ "1 rack", "19 racks", "2 batches"."""
    ending = "es" if thing.endswith(("ch", "sh", "s")) else "s"
    return f"{number:,} {thing}" if number == 1 else f"{number:,} {thing}{ending}"


def listed(things: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    every = list(things)
    return " and ".join([", ".join(every[:-1]), every[-1]]) if len(every) > 1 else "".join(every)


def why_not(waiting: Waiting) -> str:
    """Why a note waits, what would give it a place, and whether that was proved: sentences."""
    if not waiting.reason:
        return "No reason was looked for yet."
    proved = " (Proved by laying out with it.)" if waiting.proved else ""
    return f"{waiting.reason} {waiting.remedy}".strip() + proved
