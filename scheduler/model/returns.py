"""What kinds of tries have brought lately for what they cost: in a large kitchen there is no time
to try each one of a kind."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, TypeVar

Kind = TypeVar("Kind", bound=Hashable)

# From trials on august, glut and weeks of 60 lots.
LATELY = 0.3  # how much the last try counts
LEAST = 0.25  # of the best kind's share: what is left to one that brings nothing


class Returns(Generic[Kind]):
    """What was gained for a unit of cost, by kind."""

    def __init__(self) -> None:
        self._lately: dict[Kind, float] = {}

    def share(self, kind: Kind) -> float:
        """How readily it is taken: 1 for the best, and for one that has not been tried."""
        best = max(self._lately.values(), default=0.0)
        if not best:
            return 1.0
        return LEAST + (1 - LEAST) * (self._lately.get(kind, best) / best)

    def count(self, kind: Kind, gained: int, cost: float) -> None:
        """One more try, and what it gained."""
        brought = max(0, gained) / cost
        before = self._lately.get(kind, brought)
        self._lately[kind] = before + LATELY * (brought - before)
