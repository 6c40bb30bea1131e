"""One climber: steps of ruin and recreate, and large neighbourhoods in between, from a given
draft."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from random import Random

from scheduler.expand import can_be_placed
from scheduler.model.days import day_by_day
from scheduler.model.neighbourhood import Neighbourhoods
from scheduler.model.solve import Effort
from scheduler.problem import Draft, Problem, value
from scheduler.whiteboard.ruin import Ruin

HOTTEST = (
    8000.0  # grams that may be given up at the start of a cycle, about three racks of tomatoes
)
COOLEST = 100.0
STEPS_A_SOLVE_WARM, STEPS_A_SOLVE_COLD = 400, 40
SOLVE = Effort(seconds=2.0, work=0.2)
DAY_WORK, PATIENCE_S = 0.5, 300.0  # of the solver for a day, where work is counted, not time
WARM = 0.5


@dataclass(frozen=True, slots=True)
class Budget:
    """How long one round lasts, in seconds or in steps; how warm it is (1 hot to 0 cold); whether
    it lays out the week day by day instead."""

    seconds: float | None
    steps: int | None
    warmth: float
    days: bool = False


class Climber:
    """Holds what one worker learns from round to round."""

    def __init__(self, problem: Problem, seed: int) -> None:
        self.problem, self.random = problem, Random(seed)
        self.ruin = Ruin(problem, self.random)
        self.neighbourhoods = Neighbourhoods(problem, self.ruin, self.random)
        self.steps = 0
        self.now: Draft | None = None
        self.filled = problem.home is not None

    def round(self, start: Draft, budget: Budget, tell: Callable[[Draft, int], None]) -> Draft:
        """The best draft of a round; tell hears of every better one at once.

        Rounds make cycles, warm to cold. Whatever is given up in a warm round, the best is kept.
        """
        if budget.days:
            return self._day_by_day(start, budget)
        best, best_worth = start, value(self.problem, start)
        heat = COOLEST + (HOTTEST - COOLEST) * budget.warmth
        now = start if self.now is None else self.now
        now_worth = value(self.problem, now)
        begin, done = time.monotonic(), 0
        while not self._over(budget, begin, done):
            done += 1
            found = self._step(now, best, budget)
            if found is None or not can_be_placed(self.problem, found):
                continue
            gained = value(self.problem, found)
            if gained >= now_worth or self.random.random() < math.exp((gained - now_worth) / heat):
                now, now_worth = found, gained
            if gained > best_worth:
                best, best_worth = found, gained
                tell(best, best_worth)
        self.now = now
        return best

    def _day_by_day(self, start: Draft, budget: Budget) -> Draft:
        """The week filled day by day, at first from nothing, later each day anew beside the
        others; the next rounds go on from there, better or not."""
        days = [day for day in self.problem.days if day.plans]
        begun = start
        if self.filled:
            self.random.shuffle(days)
        else:
            begun = self.problem.firm.draft
        self.filled = True
        seed = self.random.randrange(1 << 30)
        if budget.seconds is None:
            effort = Effort(PATIENCE_S, DAY_WORK, seed)
        else:
            effort = Effort(budget.seconds / len(days), None, seed)
        self.now = start
        for draft in day_by_day(self.problem, self.ruin, effort, start=begun, days=days):
            self.now = draft
        return max(start, self.now, key=partial(value, self.problem))

    def _over(self, budget: Budget, begin: float, done: int) -> bool:
        if budget.steps is not None:
            return done >= budget.steps
        return budget.seconds is not None and time.monotonic() - begin >= budget.seconds

    def _step(self, now: Draft, best: Draft, budget: Budget) -> Draft | None:
        self.steps += 1
        pause = STEPS_A_SOLVE_WARM if budget.warmth > WARM else STEPS_A_SOLVE_COLD
        if self.steps % pause == 0:
            seed = self.random.randrange(1 << 30)
            seconds = SOLVE.seconds if budget.steps is None else PATIENCE_S
            effort = Effort(seconds, SOLVE.work, seed)
            return self.neighbourhoods.improved(self.random.choice([now, best]), effort)
        return self.ruin.step(now)
