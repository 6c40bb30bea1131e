"""Steam loads: how much one holds, how many a weight needs, how long each takes (rule 10)."""

from __future__ import annotations

from scheduler.units import Grams, Seconds, ceil_div

CM2_MM_PER_LITRE = 10_000


def load_g(
    steamer_load_g: Grams, basket_area_cm2: int, *, depth_mm: int, loose_g_per_l: int
) -> Grams:
    """Grams in one load: the smaller of the steamer's limit and what the basket's depth holds.

    Source: rule 10; 5 cm deep at most is common practice, loose densities are demo.
    """
    deep_enough_g = basket_area_cm2 * depth_mm * loose_g_per_l // CM2_MM_PER_LITRE
    return Grams(min(steamer_load_g, deep_enough_g))


def loads_needed(prepared_g: Grams, load_g: Grams) -> int:
    """Loads for a prepared weight, rounded up. Source: rule 10."""
    return ceil_div(prepared_g, load_g)


def equal_loads(prepared_g: Grams, n: int) -> tuple[Grams, ...]:
    """A weight in n loads that differ by a gram at most, the heavier first; they add up exactly."""
    each, over = divmod(prepared_g, n)
    return tuple(Grams(each + (place < over)) for place in range(n))


def load_seconds(steam_s: Seconds, handling_s: Seconds) -> Seconds:
    """How long a load takes the steamer: steam, then unload, drain, reload. Source: rule 10."""
    return Seconds(steam_s + handling_s)
