"""What a run takes in kilowatt-hours, from the water it removes and from what its dryer draws."""

from __future__ import annotations

from scheduler.domain.kitchen import Dryer
from scheduler.units import HOUR, Grams, Seconds, kg

MJ_PER_KWH = 3.6  # definition
LATENT_MJ_PER_KG = 2.3  # to evaporate a kg of water: Practical Action KnO-100217, p.25


def kwh_from_water(water_g: Grams, kwh_per_kg_water: float) -> float:
    """Energy of a drying in kWh; the kitchen's own figure per kg of water (demo: 1.8)."""
    return kg(water_g) * kwh_per_kg_water


def kwh_from_draw(dryer: Dryer, run_s: Seconds) -> float:
    """Most energy in kWh of a run of that length: full draw at first, then its later share.

    Source: the draw rule 13 counts with; a dryer that cycles takes less.
    """
    full_s = min(run_s, dryer.full_draw_s)
    later_s = (run_s - full_s) * dryer.later_draw_percent / 100
    return dryer.watts * (full_s + later_s) / HOUR / 1000


def efficiency(water_g: Grams, kwh: float) -> float:
    """Share, 0 to 1, of the energy spent that went into evaporating water. Source: definition."""
    return kg(water_g) * LATENT_MJ_PER_KG / (kwh * MJ_PER_KWH)


def kwh_per_kg_at(efficiency: float) -> float:
    """kWh per kg of water of a dryer with that efficiency, 0 to 1. Source: definition."""
    return LATENT_MJ_PER_KG / MJ_PER_KWH / efficiency
