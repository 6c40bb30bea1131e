"""One climber: steps of ruin and recreate, and large neighbourhoods in between, from a given
draft."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from random import Random

from scheduler.expand import can_be_placed
from scheduler.merit import Merit, merit
from scheduler.model.mixing import Mixing
from scheduler.model.neighbourhood import Neighbourhoods
from scheduler.model.solve import Effort
from scheduler.model.windows import Windows
from scheduler.problem import Draft, Problem
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import value

HOTTEST = (
    8000.0  # grams that may be given up at the start of a cycle, about three racks of tomatoes
)
COOLEST = 100.0
STEPS_A_SOLVE_WARM, STEPS_A_SOLVE_COLD = 400, 40
SOLVE = Effort(seconds=2.0, work=0.2)
WINDOW = Effort(seconds=20.0, work=0.4)
PATIENCE_S = 300.0  # where work is counted, not time
WARM = 0.5
ASIDE = 0.03  # of the best's value, that is given up in a warm window


@dataclass(frozen=True, slots=True)
class Budget:
    """How long one round lasts, in seconds or in steps; how warm it is (1 hot to 0 cold); whether
    it is one window filled anew instead, which takes as long as it takes; whether the solver has no
    part in it."""

    seconds: float | None
    steps: int | None
    warmth: float
    window: bool = False
    by_hand: bool = False


class Climber:
    """Holds what one worker learns from round to round."""

    def __init__(self, problem: Problem, seed: int) -> None:
        self.problem, self.random = problem, Random(seed)
        self.ruin = Ruin(problem, self.random)
        self.neighbourhoods = Neighbourhoods(problem, self.ruin, self.random)
        self.windows = Windows(problem, self.ruin, self.random)
        self.mixing = Mixing(problem, self.ruin, self.random, self.windows)
        self.steps = 0
        self.now: Draft | None = None

    def round(
        self,
        start: Draft,
        budget: Budget,
        tell: Callable[[Draft], None],
        other: Draft | None = None,
    ) -> Draft:
        """The best draft of a round; tell hears at once of each that is worth more. other: a draft
        of which a window may take over parts.

        Rounds make cycles, warm to cold. Whatever is given up in a warm round, the best is kept.
        """
        if budget.window:
            return self._window(start, budget, other)
        best, best_merit = start, merit(self.problem, start)
        heat = COOLEST + (HOTTEST - COOLEST) * budget.warmth
        now = start if self.now is None else self.now
        now_merit = merit(self.problem, now)
        begin, done = time.monotonic(), 0
        while not self._over(budget, begin, done):
            done += 1
            found = self._step(now, best, budget)
            if found is None or not can_be_placed(self.problem, found):
                continue
            gained = merit(self.problem, found)
            if self._taken(gained, now_merit, heat):
                now, now_merit = found, gained
            if gained > best_merit:
                if gained[0] > best_merit[0]:
                    tell(found)
                best, best_merit = found, gained
        self.now = now
        return best

    def _taken(self, found: Merit, now: Merit, heat: float) -> bool:
        """Whether to go on from what was found: what is better always, what is worse by chance."""
        return found > now or self.random.random() < math.exp((found[0] - now[0]) / heat)

    def _window(self, start: Draft, budget: Budget, other: Draft | None) -> Draft:
        """A part of the week filled anew, or mixed with the other's; while it is warm, not of the
        best but of where the climber has got to."""
        if self.now is None or not self._borne(value(self.problem, self.now), start, budget):
            self.now = start
        effort = self._effort(WINDOW, budget)
        if other is not None and self._mixes():
            found = self.mixing.improved(self.now, other, effort)
        else:
            found = self.windows.improved(self.now, effort)
        if found is not None and can_be_placed(self.problem, found):
            self.now = found
        return max(start, self.now, key=partial(merit, self.problem))

    def _mixes(self) -> bool:
        weights = (self.windows.weight, self.mixing.weight)
        return self.random.choices((False, True), weights)[0]

    def _borne(self, now: int, start: Draft, budget: Budget) -> bool:
        """Whether a draft of that value is good enough to go on from."""
        return now >= value(self.problem, start) * (1 - ASIDE * budget.warmth)

    def _effort(self, effort: Effort, budget: Budget) -> Effort:
        """The same with another seed, and in a round of steps not cut short by the clock."""
        seconds = effort.seconds if budget.seconds is not None else PATIENCE_S
        if budget.seconds is not None and budget.window:
            seconds = min(seconds, budget.seconds)
        return replace(effort, seconds=seconds, seed=self.random.randrange(1 << 30))

    def _over(self, budget: Budget, begin: float, done: int) -> bool:
        if budget.steps is not None:
            return done >= budget.steps
        return budget.seconds is not None and time.monotonic() - begin >= budget.seconds

    def _step(self, now: Draft, best: Draft, budget: Budget) -> Draft | None:
        self.steps += 1
        pause = STEPS_A_SOLVE_WARM if budget.warmth > WARM else STEPS_A_SOLVE_COLD
        if self.steps % pause == 0 and not budget.by_hand:
            effort = self._effort(SOLVE, budget)
            return self.neighbourhoods.improved(self.random.choice([now, best]), effort)
        return self.ruin.step(now)
