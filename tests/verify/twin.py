"""A twin: the good week with one thing broken, and what the verifier must say to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan

Change = Callable[[Asked, Plan], tuple[Asked, Plan]]


@dataclass(frozen=True)
class Twin:
    """change breaks one thing; so many faults of that rule follow, and none of any other.

    without: the switches that leave this check out. says: words that the message must hold.
    """

    name: str
    rule: int
    change: Change
    faults: int = 1
    without: tuple[str, ...] = ()
    says: str = ""

    def make(self) -> tuple[Asked, Plan]:
        return self.change(good_asked(), good_plan())
