"""What a way to search has brought so far, so that it is taken more often where it pays."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(slots=True)
class Tally:
    """How often it was tried, and how often something better was found."""

    tried: int = 0
    won: int = 0

    @property
    def weight(self) -> float:
        """How readily it is chosen again."""
        return (1 + 5 * self.won) / (1 + self.tried)

    def count(self, won: bool) -> None:
        """One more try."""
        self.tried += 1
        self.won += won
