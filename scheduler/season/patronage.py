"""What members get back by use: the surplus by rack-hours, a part of it retained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from scheduler.season.turns import MemberLine
from scheduler.units import HOUR


@dataclass(frozen=True, slots=True)
class Patronage:
    """One member's part of the surplus in minor units: paid and retained add up to it."""

    grower_id: str
    rack_s: int
    allotted: int
    retained: int

    @property
    def paid(self) -> int:
        return self.allotted - self.retained


def patronage(
    lines: Sequence[MemberLine], surplus: int, *, retained_percent: int
) -> tuple[Patronage, ...]:
    """The surplus (minor units, nothing where there is none) over members with shares.

    By rack-seconds, exact to the last unit: what rounding down leaves goes one by one to the
    largest remainders, the order of the list deciding between equals. retained_percent of each part
    is kept as equity, rounded down. Source: patronage unit = loaded rack-hour (demo).
    """
    members = [each for each in lines if each.shares > 0]
    used = sum(each.rack_s for each in members)
    parts = _parts([each.rack_s for each in members], max(0, surplus) if used else 0)
    return tuple(
        Patronage(each.grower_id, each.rack_s, part, part * retained_percent // 100)
        for each, part in zip(members, parts, strict=True)
    )


def _parts(weights: Sequence[int], amount: int) -> list[int]:
    total = sum(weights) or 1
    parts = [weight * amount // total for weight in weights]
    remainders = sorted(range(len(weights)), key=lambda at: -(weights[at] * amount % total))
    for at in remainders[: amount - sum(parts)]:
        parts[at] += 1
    return parts


def cost_per_rack_hour(cost: int, rack_s: int) -> Fraction:
    """Minor units an hour of one loaded rack; 0 where none was loaded."""
    return Fraction(cost * HOUR, rack_s) if rack_s else Fraction(0)
