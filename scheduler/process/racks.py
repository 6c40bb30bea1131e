"""How many racks a weight needs, and how a lot's weight is shared out over its racks (rule 5)."""

from __future__ import annotations

from scheduler.units import Grams, Racks, ceil_div

CM2_PER_M2 = 10_000


def rack_holds_g(g_per_m2: int, rack_area_cm2: int) -> Grams:
    """Grams on one full rack, rounded down; density in g/m2, area in cm2. Source: rule 5."""
    return Grams(g_per_m2 * rack_area_cm2 // CM2_PER_M2)


def racks_needed(prepared_g: Grams, g_per_m2: int, *, rack_area_cm2: int) -> Racks:
    """Racks for a prepared weight, rounded up exactly, in g/m2 and cm2. Source: rule 5.

    One at least: a gram that is trimmed to nothing in whole grams lies somewhere still.
    """
    return Racks(max(1, ceil_div(prepared_g * CM2_PER_M2, g_per_m2 * rack_area_cm2)))


def share_g(total_g: Grams, racks: Racks, *, of_racks: Racks, before_racks: int = 0) -> Grams:
    """Grams on the racks after the first before_racks of a weight spread evenly over of_racks.

    Cut at whole grams so that the shares of a lot's charges add up exactly to the lot.
    """
    return Grams(total_g * (before_racks + racks) // of_racks - total_g * before_racks // of_racks)
