"""How long a crop dries: thin-layer curves, and the card's hours moved to other conditions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log

from scheduler.domain.process_card import ProcessCard
from scheduler.process.yields import dry_basis, wet_percent
from scheduler.units import HOUR

GAS_CONSTANT = 8.314462618e-3  # kJ/(mol K): CODATA 2018
KELVIN = 273.15  # 0 C: definition of the degree Celsius
HALVINGS = 60  # of a bracket of hours: finer than a float needs


@dataclass(frozen=True, slots=True)
class Range:
    """An answer that no single figure can honestly give."""

    low: float
    likely: float
    high: float


# kJ/mol. The outer edges of reference/thin_layer.csv, rounded outwards (17.0 potato after Chemkhi
# 2004, 33.06 carrot 2018); the likely figure is our own middle.
ACTIVATION = Range(16.9, 25.0, 33.1)
# Against the likely hours. Green beans take 8 to 14 hours, 11 in the middle (North Dakota State
# University Extension, reference/blanch_dry_observations.csv).
SPREAD = Range(8 / 11, 1.0, 14 / 11)


@dataclass(frozen=True, slots=True)
class Conditions:
    """How a run differs from its card.

    thickness: of the cut, as a multiple of the card's. equilibrium: moisture the food would come to
    in that air, kg water per kg dry matter (see sorption); nought is the air of the card.
    """

    celsius: float
    thickness: float = 1.0
    equilibrium: float = 0.0


@dataclass(frozen=True, slots=True)
class Known:
    """What a card says of one drying: hours at its set point, cut and air; water in wet percent."""

    hours: float
    celsius: float
    water_in_percent: float
    water_out_percent: float

    @classmethod
    def of(cls, card: ProcessCard) -> Known:
        hours = card.drying_s / HOUR
        return cls(hours, card.set_point_c, card.water_in_percent, card.water_out_percent)


def lewis(t: float, k: float) -> float:
    """Moisture ratio exp(-kt), t in the unit of 1/k. Source: Lewis 1921 (Newton), from memory."""
    return exp(-k * t)


def page(t: float, k: float, *, n: float) -> float:
    """Moisture ratio exp(-k t^n). Source: Page 1949, from memory."""
    return exp(-k * t**n)


def henderson_pabis(t: float, k: float, *, a: float) -> float:
    """Moisture ratio a exp(-kt). Source: Henderson and Pabis 1961, from memory."""
    return a * exp(-k * t)


def logarithmic(t: float, k: float, *, a: float, c: float) -> float:
    """Moisture ratio a exp(-kt) + c. Source: Yagcioglu 1999, from memory."""
    return a * exp(-k * t) + c


def midilli(t: float, k: float, *, a: float, n: float, b: float) -> float:
    """Moisture ratio a exp(-k t^n) + bt. Source: Midilli, Kucuk and Yapar 2002, from memory."""
    return a * exp(-k * t**n) + b * t


def time_to(ratio: float, curve: Callable[[float], float], *, most: float) -> float:
    """When a falling curve comes down to a moisture ratio, in the curve's own unit of time.

    ValueError if it has not come down to it by most.
    """
    if curve(most) > ratio:
        raise ValueError(f"the curve is still above a moisture ratio of {ratio} after {most}")
    early, late = 0.0, most
    for _ in range(HALVINGS):
        middle = (early + late) / 2
        early, late = (middle, late) if curve(middle) > ratio else (early, middle)
    return late


def lewis_k(known: Known) -> float:
    """The rate, per hour, that dries as the card says, equilibrium moisture taken as nought.

    Source: Lewis model solved for k, as in reference/derived_lewis_k.csv.
    """
    wet, dry = dry_basis(known.water_in_percent), dry_basis(known.water_out_percent)
    return _path(wet, dry, 0.0) / known.hours


def rate_ratio(activation_kj_mol: float, from_c: float, *, to_c: float) -> float:
    """How many times faster drying goes at to_c than at from_c. Source: Arrhenius law."""
    return exp(activation_kj_mol / GAS_CONSTANT * (1 / (from_c + KELVIN) - 1 / (to_c + KELVIN)))


def drying_hours(known: Known, at: Conditions) -> Range:
    """Hours of a whole drying; likely is exactly the card's hours under the card's conditions.

    Source: Arrhenius rate, square of the thickness (diffusion through a slab). ValueError where the
    air is too damp for the food ever to become as dry as the card asks.
    """
    return _hours_from(dry_basis(known.water_in_percent), known, at)


def hours_left(known: Known, at: Conditions, *, water_percent: float) -> Range:
    """Hours still needed from a moisture, percent wet basis; nought where it is dry already.

    Source and errors as for drying_hours.
    """
    return _hours_from(dry_basis(water_percent), known, at)


def water_percent_after(hours: float, known: Known, at: Conditions) -> Range:
    """Moisture, percent wet basis, of a run that stopped after so many hours.

    Source: Lewis curve through the card's two moistures; errors as for drying_hours.
    """
    wet, dry = dry_basis(known.water_in_percent), dry_basis(known.water_out_percent)
    path = _path(wet, dry, at.equilibrium)
    whole = drying_hours(known, at)

    def after(all_hours: float) -> float:
        ratio = lewis(hours, path / all_hours)
        return wet_percent(at.equilibrium + (wet - at.equilibrium) * ratio)

    return Range(after(whole.low), after(whole.likely), after(whole.high))


def _hours_from(moisture: float, known: Known, at: Conditions) -> Range:
    wet, dry = dry_basis(known.water_in_percent), dry_basis(known.water_out_percent)
    path = _path(moisture, dry, at.equilibrium) / _path(wet, dry, 0.0)
    still = known.hours * path * at.thickness**2
    slow, likely, fast = (
        still / rate_ratio(each, known.celsius, to_c=at.celsius)
        for each in (ACTIVATION.low, ACTIVATION.likely, ACTIVATION.high)
    )
    return Range(min(slow, fast) * SPREAD.low, likely, max(slow, fast) * SPREAD.high)


def _path(from_: float, to: float, equilibrium: float) -> float:
    """Length of the way from one moisture to another in units of kt, all on dry basis."""
    if to <= equilibrium:
        raise ValueError("in that air the food never becomes as dry as the card asks")
    return log(max(from_, to) - equilibrium) - log(to - equilibrium)
