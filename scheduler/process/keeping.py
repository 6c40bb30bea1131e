"""How long a fresh crop keeps at another temperature, and how much of that is used up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from scheduler.units import Seconds

# How many times faster a crop goes off for 10 C more: our own middle of 2 to 3 (food-processing
# text, barnardhealth.us); 2.1 to 3.3 measured on respiration (2009, acemap.info/paper/63374173).
Q10 = 2.5


@dataclass(frozen=True, slots=True)
class Stay:
    """A time spent at one temperature."""

    seconds: Seconds
    celsius: float


def keeping_s(cold_s: Seconds, cold_c: float, *, at_c: float, q10: float = Q10) -> Seconds:
    """Keeping time in seconds at a temperature, from that in the cold store; rounded down.

    Source: Q10 rule. It knows no chilling injury: below their own limit some crops keep worse.
    """
    return Seconds(int(cold_s * q10 ** ((cold_c - at_c) / 10)))


def used_s(stays: Iterable[Stay], cold_c: float, *, q10: float = Q10) -> Seconds:
    """Keeping time used up, in cold-store seconds, rounded up. Source: Q10 rule, stays add up."""
    used = sum(each.seconds * q10 ** ((each.celsius - cold_c) / 10) for each in stays)
    return Seconds(ceil(used))


def q10_between(cool_rate: float, warm_rate: float, *, apart_c: float) -> float:
    """The Q10 of two rates measured so many degrees apart. Source: definition of Q10."""
    return float((warm_rate / cool_rate) ** (10 / apart_c))
