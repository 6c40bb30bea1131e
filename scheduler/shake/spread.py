"""What is not as planned, and how far: each figure with its source."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.process.drying import SPREAD as DRYING
from scheduler.process.drying import Range
from scheduler.process.yields import WEIGHT_SPREAD_PERCENT
from scheduler.units import HOUR, MINUTE, Seconds

Draws = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spread:
    """drying: hours against the card's. weight: of a lot against its note. late_s: most that a lot
    comes after its time. stop_chance: of one stop in the week, of stop_s seconds at most."""

    drying: Range
    weight: Range
    late_s: Seconds
    stop_chance: float
    stop_s: Seconds

    @property
    def sources(self) -> tuple[str, ...]:
        return (
            f"drying hours times {self.drying.low:.2f} to {self.drying.high:.2f}: green beans, "
            "North Dakota State University Extension",
            f"weights times {self.weight.low:.2f} to {self.weight.high:.2f}: demo",
            f"lots up to {self.late_s // MINUTE} minutes late: demo",
            f"one dryer stops in {100 * self.stop_chance:.0f} of 100 weeks, "
            f"for {self.stop_s // HOUR} hours at most: demo",
        )


_WEIGHT = WEIGHT_SPREAD_PERCENT / 100
SPREAD = Spread(
    drying=DRYING,
    weight=Range(1 - _WEIGHT, 1.0, 1 + _WEIGHT),
    late_s=Seconds(HOUR),
    stop_chance=0.1,
    stop_s=Seconds(6 * HOUR),
)


def drawn(rng: np.random.Generator, span: Range, times: int) -> Draws:
    """A triangle over the range, its peak at what is likely: our own shape. (times,)"""
    if span.low == span.high:
        return np.full(times, span.likely)
    return rng.triangular(span.low, span.likely, span.high, times)
