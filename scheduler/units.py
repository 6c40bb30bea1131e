"""Whole-number units, and the only place that rounds or converts for display."""

from __future__ import annotations

from typing import NewType

Seconds = NewType("Seconds", int)
Grams = NewType("Grams", int)
Racks = NewType("Racks", int)

MINUTE = Seconds(60)
HOUR = Seconds(3600)
DAY = Seconds(86_400)
GRID = Seconds(300)  # rule 1: starts and ends lie on a five-minute grid

KG_PER_LB = 0.45359237  # exact: international pound, NIST SP 811, appendix B.8


def ceil_div(amount: int, unit: int) -> int:
    """Smallest whole number of units that holds the amount; unit > 0."""
    return -(-amount // unit)


def grams(kg: float) -> Grams:
    """Kilograms to whole grams, to the nearest."""
    return Grams(round(kg * 1000))


def grams_from_lb(lb: float) -> Grams:
    """Pounds to whole grams, to the nearest."""
    return grams(lb * KG_PER_LB)


def kg(amount: Grams) -> float:
    """Grams to kilograms, unrounded."""
    return amount / 1000


def lb(amount: Grams) -> float:
    """Grams to pounds, unrounded."""
    return amount / 1000 / KG_PER_LB


def seconds_from_minutes(minutes: float) -> Seconds:
    """Minutes to whole seconds, to the nearest."""
    return Seconds(round(minutes * MINUTE))


def seconds_from_hours(hours: float) -> Seconds:
    """Hours to whole seconds, to the nearest."""
    return Seconds(round(hours * HOUR))


def up_to_grid(duration: int) -> Seconds:
    """A duration in seconds, raised to the next multiple of five minutes."""
    return Seconds(ceil_div(duration, GRID) * GRID)


def celsius(fahrenheit: float) -> float:
    """A temperature in degrees Fahrenheit, in Celsius."""
    return (fahrenheit - 32) / 1.8


def fahrenheit(celsius_: float) -> float:
    """A temperature in degrees Celsius, in Fahrenheit."""
    return celsius_ * 1.8 + 32
