"""The dry check counted: the worst reading against the limits of the process card.

It counts and proposes: a named person decides, and nothing here says that food is safe.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from scheduler.domain.process_card import DryCheck

Decision = Literal["pass", "hold"]


@dataclass(frozen=True, slots=True)
class Reading:
    """One rack's sample: water activity from 0 to 1, moisture in percent of wet weight."""

    rack: int
    water_activity: float
    moisture_percent: float


@dataclass(frozen=True, slots=True)
class Counted:
    """What the readings come to, and a sentence for everything that speaks for holding."""

    decision: Decision
    reasons: tuple[str, ...]


def counted(readings: Sequence[Reading], limits: DryCheck, *, racks_wanted: int) -> Counted:
    """Hold where the worst rack is over a limit, or fewer racks were sampled than were wanted.

    A reading at the limit passes.
    """
    reasons = tuple(_reasons(readings, limits, racks_wanted))
    return Counted("hold" if reasons else "pass", reasons)


def _reasons(readings: Sequence[Reading], limits: DryCheck, racks_wanted: int) -> Iterator[str]:
    sampled = len({each.rack for each in readings})
    if sampled < racks_wanted:
        yield f"{sampled} of {racks_wanted} racks sampled"
    if not readings:
        return
    wettest = max(readings, key=lambda each: each.water_activity)
    if wettest.water_activity > limits.most_water_activity:
        yield (
            f"rack {wettest.rack} reads a water activity of {wettest.water_activity:g}, "
            f"at most {limits.most_water_activity:g}"
        )
    moistest = max(readings, key=lambda each: each.moisture_percent)
    if moistest.moisture_percent > limits.most_moisture_percent:
        yield (
            f"rack {moistest.rack} has {moistest.moisture_percent:g} % moisture, "
            f"at most {limits.most_moisture_percent:g} %"
        )
