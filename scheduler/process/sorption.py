"""How moisture and water activity go together (GAB isotherm), and what a dry check reads."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, sqrt

from scheduler.domain.process_card import DryCheck
from scheduler.process.drying import GAS_CONSTANT, KELVIN


@dataclass(frozen=True, slots=True)
class Gab:
    """A Guggenheim-Anderson-de Boer isotherm at one temperature.

    monolayer in kg water per kg dry matter; c and k have no unit. Source: van den Berg and Bruin
    1981, from memory.
    """

    monolayer: float
    c: float
    k: float

    def moisture(self, water_activity: float) -> float:
        """Moisture, kg/kg dry basis. ValueError outside 0 to 1 or where k x activity reaches 1."""
        x = self.k * water_activity
        if not 0 <= water_activity <= 1 or x >= 1:
            raise ValueError(f"the isotherm says nothing at a water activity of {water_activity}")
        return self.monolayer * self.c * x / ((1 - x) * (1 + (self.c - 1) * x))

    def water_activity(self, moisture: float) -> float:
        """Water activity of a moisture, kg/kg dry basis. ValueError where that is outside 0 to 1.

        Source: the isotherm solved for x = k x activity, a quadratic with one root from 0 to 1.
        """
        if moisture < 0:
            raise ValueError(f"there is no moisture of {moisture}")
        layers = moisture / self.monolayer
        square, linear = layers * (self.c - 1), self.c - layers * (self.c - 2)
        root = sqrt(linear**2 + 4 * layers * square)
        x = 2 * layers / (linear + root) if linear > 0 else (root - linear) / (2 * square)
        if x > self.k:
            raise ValueError(f"the isotherm says nothing at a moisture of {moisture}")
        return x / self.k


@dataclass(frozen=True, slots=True)
class GabLaw:
    """A GAB isotherm whose constants follow temperature: factor x exp(energy / RT), kJ/mol."""

    monolayer: tuple[float, float]
    c: tuple[float, float]
    k: tuple[float, float]

    def at(self, celsius: float) -> Gab:
        rt = GAS_CONSTANT * (celsius + KELVIN)
        laws = (self.monolayer, self.c, self.k)
        monolayer, c, k = (factor * exp(energy / rt) for factor, energy in laws)
        return Gab(monolayer, c, k)


# Kiranoudis et al. 1993, at second hand: see reference/gab.csv.
POTATO = GabLaw(monolayer=(0.056, 1.39), c=(0.017, 20.0), k=(0.94, -0.92))


def reads_within(check: DryCheck, water_activity: float, *, moisture_percent: float) -> bool:
    """Whether a sample reads no more than a card's two limits; equal to a limit is within it."""
    return (
        water_activity <= check.most_water_activity
        and moisture_percent <= check.most_moisture_percent
    )
