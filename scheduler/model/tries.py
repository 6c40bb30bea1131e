"""What has come of something that is tried again and again: while it brings nothing, it comes less
often and is tried harder."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from scheduler.model.solve import Effort

# All from trials on august and glut.
LATELY = 0.4  # how much the last try counts
LEAST = 0.1  # readiness of what never won
MOST_WORK, DOUBLED = 8.0, 3  # times the usual; how often it is doubled at the most


@dataclass(slots=True)
class Tries:
    """ready: how readily it is taken before it has been tried; work: times the usual."""

    ready: float = 1.0
    work: float = 1.0
    tried: bool = False
    in_vain: int = 0
    lately: float = field(init=False)

    def __post_init__(self) -> None:
        self.lately = self.ready

    @property
    def weight(self) -> float:
        """How readily it is taken."""
        return LEAST + self.lately

    @property
    def doubled(self) -> int:
        """How many times as hard it is to be tried."""
        return int(2 ** min(self.in_vain, DOUBLED))

    def effort(self, usual: Effort) -> Effort:
        """Harder each time that nothing was found."""
        if usual.work is None:
            return usual
        return replace(usual, work=usual.work * min(MOST_WORK, self.work * self.doubled))

    def count(self, won: bool) -> None:
        """One more try."""
        self.tried = True
        self.lately += LATELY * (self.ready * won - self.lately)
        self.in_vain += not won
