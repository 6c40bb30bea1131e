"""One line that says how far a lay-out has come."""

from __future__ import annotations

from scheduler.units import Grams
from scheduler.wording import WeightUnit, percent, weight


def progress_line(
    *, worth_g: int, bound_g: int, whiteboard_g: int, left_s: float | None, unit: WeightUnit
) -> str:
    """Worth and bound in prepared grams; left_s is None where no clock limits the search."""
    gap = (bound_g - worth_g) / bound_g if bound_g else 0.0
    figures = (
        f"{weight(Grams(worth_g), unit)} has a place",
        f"at most {weight(Grams(bound_g), unit)}",
        f"gap {percent(gap)}",
        f"whiteboard {weight(Grams(whiteboard_g), unit)}",
    )
    left = "" if left_s is None else f", {max(0, round(left_s))} s left"
    return ", ".join(figures) + left
