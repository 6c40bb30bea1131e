"""How long hands need for a weight or a number of bags, in whole seconds."""

from __future__ import annotations

from scheduler.units import HOUR, Grams, Seconds, ceil_div


def seconds_for(grams: Grams, g_per_h: int) -> Seconds:
    """Seconds to wash or cut a weight at a rate in grams an hour, rounded up."""
    return Seconds(ceil_div(grams * HOUR, g_per_h))


def packing_seconds(bags: int, bags_per_h: int) -> Seconds:
    """Seconds to fill that many bags at a rate in bags an hour, rounded up."""
    return Seconds(ceil_div(bags * HOUR, bags_per_h))
