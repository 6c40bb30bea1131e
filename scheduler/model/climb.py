"""One climber: steps of ruin and recreate, and large neighbourhoods in between, from a given draft."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from scheduler.model.neighbourhood import Neighbourhoods
from scheduler.model.solve import Effort
from scheduler.problem import Draft, Problem, worth
from scheduler.whiteboard.ruin import Ruin

HOTTEST = 6000.0  # grams that may be given up at the start, about two racks of tomatoes
COOLEST = 100.0
STEPS_A_SOLVE = 60
SOLVE = Effort(seconds=2.5, work=0.25)


@dataclass(frozen=True, slots=True)
class Budget:
    """How long one round lasts, in seconds or in steps, and how warm it is (0 cold to 1 hot)."""

    seconds: float | None
    steps: int | None
    warmth: float


class Climber:
    """Holds what one worker learns from round to round."""

    def __init__(self, problem: Problem, seed: int) -> None:
        self.problem, self.random = problem, Random(seed)
        self.ruin = Ruin(problem, self.random)
        self.neighbourhoods = Neighbourhoods(problem, self.ruin, self.random)
        self.steps = 0

    def round(self, start: Draft, budget: Budget, tell: Callable[[Draft, int], None]) -> Draft:
        """The best draft of a round; tell hears of every better one at once."""
        now = best = start
        now_worth = best_worth = worth(self.problem, start)
        heat = COOLEST + (HOTTEST - COOLEST) * budget.warmth
        begin, done = time.monotonic(), 0
        while not self._over(budget, begin, done):
            done += 1
            found = self._step(now, best, done)
            if found is None:
                continue
            gained = worth(self.problem, found)
            if gained >= now_worth or self.random.random() < math.exp((gained - now_worth) / heat):
                now, now_worth = found, gained
            if gained > best_worth:
                best, best_worth = found, gained
                tell(best, best_worth)
        return best

    def _over(self, budget: Budget, begin: float, done: int) -> bool:
        if budget.steps is not None:
            return done >= budget.steps
        return budget.seconds is not None and time.monotonic() - begin >= budget.seconds

    def _step(self, now: Draft, best: Draft, done: int) -> Draft | None:
        self.steps += 1
        if done % STEPS_A_SOLVE == 0:
            seed = self.random.randrange(1 << 30)
            effort = Effort(SOLVE.seconds, SOLVE.work, seed)
            return self.neighbourhoods.improved(self.random.choice([now, best]), effort)
        return self.ruin.step(now)
