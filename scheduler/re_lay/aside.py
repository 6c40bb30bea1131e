"""A second climber in a process of its own, called at once, for it takes a second or two to
start."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial

from scheduler.expand import can_be_placed
from scheduler.model.climb import Budget
from scheduler.model.crew import Better, Crew
from scheduler.model.search import Limits
from scheduler.problem import Draft
from scheduler.re_lay.small import Small, improved
from scheduler.worth import value

LEAST_S = 6.0  # of a mend; in less it would hardly begin
LATE_S = 0.2  # that it may answer after this process


class Second:
    """Climbs beside this process. crew: of one; None where this process is alone."""

    def __init__(self, crew: Crew | None) -> None:
        self.crew = crew

    def improved(self, small: Small, budget: Budget, seed: int) -> Small:
        """The best of a round here and of one beside it; a mend stands without the second."""
        if self.crew is None:
            return improved(small, budget, seed)
        with suppress(OSError):
            self.crew.begin(small.problem)
            self.crew.send(0, small.draft, budget)
        drafts = [improved(small, budget, seed).draft]
        with suppress(EOFError, OSError):
            drafts += self._heard(self.crew)
        fitting = [each for each in drafts if can_be_placed(small.problem, each)]
        return Small(small.problem, max(fitting, key=partial(value, small.problem)))

    def _heard(self, crew: Crew) -> Iterator[Draft]:
        """What it has found until now."""
        while heard := crew.hear(LATE_S):
            for _, message in heard:
                if isinstance(message, Better):
                    yield message.draft
                    if message.final:
                        return


@contextmanager
def second(limits: Limits) -> Iterator[Second]:
    """One where there are two workers and time enough, and work is not counted."""
    seconds = 0.0 if limits.seconds is None or limits.work is not None else limits.seconds
    if limits.workers == 1 or seconds < LEAST_S:
        yield Second(None)
        return
    crew = Crew(1, limits.seed + 1)
    try:
        yield Second(crew)
    finally:
        crew.dismiss()
