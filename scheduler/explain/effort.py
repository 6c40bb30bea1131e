"""How long one tool tries one change: so many seconds, or so many steps."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.model.solve import Effort

SOLVER_WORK = 0.5  # the solver's own repeatable measure, about seconds
SOLVER_SECONDS = 60.0  # never reached before that
AT_LEAST_S = 0.05


@dataclass(frozen=True, slots=True)
class Share:
    """Seconds from the first step on; where steps are given the clock has no say."""

    seconds: float
    steps: int | None

    def each_step(self) -> Iterator[int]:
        """The steps of this share, counted from 0."""
        until, done = time.monotonic() + self.seconds, 0
        while time.monotonic() < until if self.steps is None else done < self.steps:
            yield done
            done += 1

    def effort(self, seed: int) -> Effort:
        """The same for the solver."""
        if self.steps is None:
            return Effort(max(AT_LEAST_S, self.seconds), None, seed)
        return Effort(SOLVER_SECONDS, SOLVER_WORK, seed)
