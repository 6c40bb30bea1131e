"""What becomes of a weight: trimmed, dried, and how many bags it fills."""

from __future__ import annotations

from fractions import Fraction

from scheduler.units import Grams

WEIGHT_SPREAD_PERCENT = 30  # how far a lot may weigh in from its note: demo


def exact(amount: float) -> Fraction:
    """A decimal figure as it is written: 0.1 is one tenth."""
    return Fraction(str(amount))


def dry_basis(water_percent: float) -> float:
    """Kg water per kg dry matter, from percent of wet weight below 100. Source: definition."""
    return water_percent / (100 - water_percent)


def wet_percent(dry_basis: float) -> float:
    """Percent of wet weight, from kg water per kg dry matter. Source: definition."""
    return 100 * dry_basis / (1 + dry_basis)


def trimmed_g(field_g: Grams, trim_loss_percent: float) -> Grams:
    """Prepared weight in grams, rounded down; loss in percent of field weight, 0 to 100.

    Source: mass balance. 55 kg at 12 % are exactly 48 400 g.
    """
    return Grams(int(field_g * (100 - exact(trim_loss_percent)) / 100))


def dried_g(prepared_g: Grams, water_in_percent: float, *, water_out_percent: float) -> Grams:
    """Dried weight in grams, rounded down; water in percent of wet weight, out below 100.

    Source: balance of dry matter, prepared x (100 - in) / (100 - out).
    """
    dry_matter = prepared_g * (100 - exact(water_in_percent))
    return Grams(int(dry_matter / (100 - exact(water_out_percent))))


def water_removed_g(
    prepared_g: Grams, water_in_percent: float, *, water_out_percent: float
) -> Grams:
    """Water in grams that leaves the food: prepared less dried weight. Source: mass balance."""
    return Grams(
        prepared_g - dried_g(prepared_g, water_in_percent, water_out_percent=water_out_percent)
    )


def bags(dried_g: Grams, bag_g: Grams) -> int:
    """Full bags from a dried weight; the rest fills none."""
    return dried_g // bag_g


def bag_range(dried_g: Grams, bag_g: Grams) -> tuple[int, int]:
    """Fewest and most full bags when the lot weighs in up to 30 % lighter or heavier (demo)."""
    light, heavy = 100 - WEIGHT_SPREAD_PERCENT, 100 + WEIGHT_SPREAD_PERCENT
    return dried_g * light // 100 // bag_g, dried_g * heavy // 100 // bag_g
