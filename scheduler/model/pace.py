"""What a climber does next: a round by hand, or a window filled anew."""

from __future__ import annotations

from dataclasses import dataclass

CYCLE = 3  # rounds by hand from warm to cold
PAYS = 0.01  # of what there was before a round by hand (from trials on weeks of 60 lots)
PATIENCE = 150  # steps by hand in a row that do not pay (from the same)


@dataclass(slots=True)
class Pace:
    """First a cold round by hand; a large week begins far from its best, and as long as it pays the
    hand goes on there, without the solver. Then some windows before each round by hand; both go
    from warm to cold, again and again.

    windows: before each round by hand; large: whether the week is; rising: whether what is done
    first is not over; in_vain: steps of it that did not pay, in a row; filled: windows since the
    last round by hand; cycled: rounds by hand since the first were over.
    """

    windows: int
    large: bool = False
    rising: bool = True
    in_vain: int = 0
    filled: int = 0
    cycled: int = 0

    @property
    def window(self) -> bool:
        """Whether a window comes next."""
        return not self.rising and self.filled < self.windows

    @property
    def alone(self) -> bool:
        """Whether the solver has no part in it."""
        return self.rising and self.large

    @property
    def warmth(self) -> float:
        """Of what comes next: 1 hot to 0 cold."""
        return 0.0 if self.rising else 1 - self.cycled % CYCLE / CYCLE

    def count(self, before: int, after: int, steps: int) -> None:
        """What came next is done, with so many steps by hand; what the climber's best was worth
        before it and after."""
        if self.window:
            self.filled += 1
        elif self.rising:
            paid = after - before > PAYS * before
            self.in_vain = 0 if paid else self.in_vain + steps
            self.rising = self.large and self.in_vain < PATIENCE
        else:
            self.filled = 0
            self.cycled += 1
