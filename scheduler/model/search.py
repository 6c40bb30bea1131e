"""The search: climbers in processes of their own work in rounds, each from its own best draft
until they are brought together, beside a rising proof; what they find is settled day by day for the
goals after the first."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import partial
from random import Random

from scheduler.expand import can_be_placed
from scheduler.merit import merit
from scheduler.model.climb import PATIENCE_S, Budget
from scheduler.model.crew import Better, Crew
from scheduler.model.master import large, most_there_is
from scheduler.model.pace import Pace
from scheduler.model.settle import Settling
from scheduler.model.solve import Effort
from scheduler.problem import Draft, Problem
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import most_pull, value, worth

ROUND_SECONDS = 1.0
ROUND_STEPS = 150  # one unit of --work is one round of every climber
WINDOWS = (6, 3)  # for each round of climbing; climbers differ, so that they help each other
APART, FAR = 0.8, 0.98  # of the limit; of the best's worth (from trials)
LONG_S = 60.0  # for a window, where there is no limit
SETTLING_S, SETTLING_SHARE = 3.0, 0.1  # at the end, of the seconds there are (from trials)
A_GOAL = Effort(seconds=1.0, work=0.15)  # of a day


@dataclass(frozen=True, slots=True)
class Limits:
    """When to stop: after seconds, or after a repeatable amount of work (rounds of every
    climber). start: a draft of the same problem to go on from, if it beats the whiteboard."""

    seconds: float | None = 15.0
    work: float | None = None
    seed: int = 1
    workers: int = 2
    start: Draft | None = None


@dataclass(frozen=True, slots=True)
class Progress:
    """What is known so far; weights in prepared grams. best: the draft of that worth."""

    seconds: float
    worth_g: int
    bound_g: int
    whiteboard_g: int
    limit_seconds: float | None
    best: Draft


@dataclass(frozen=True, slots=True)
class Found:
    """A search's outcome. rounds: how many were finished."""

    draft: Draft
    bound_g: int
    whiteboard: Draft
    first_plan_s: float
    rounds: int
    stopped: bool


Watch = Callable[[Progress], bool | None]


def run(problem: Problem, limits: Limits, watch: Watch | None = None) -> Found:
    """The best draft within the limits; watch hears of every step and may stop it by returning
    True."""
    return _Search(problem, limits, watch or (lambda _: None)).run()


class _Search:
    def __init__(self, problem: Problem, limits: Limits, watch: Watch) -> None:
        self.problem, self.limits, self.watch = problem, limits, watch
        self.begin = time.monotonic()
        self.whiteboard = whiteboard(problem)
        self.first_plan_s = time.monotonic() - self.begin
        self.best, self.worth = self.whiteboard, worth(problem, self.whiteboard)
        self.merit = merit(problem, self.whiteboard)
        self.whiteboard_g = self.worth
        self.bound = most_there_is(problem)
        self.stopped = False
        self._own: dict[int, Draft] = {}  # the best of each climber
        self._begun: dict[int, int] = {}  # what it was worth that each was sent to better
        self._paces = [
            Pace(WINDOWS[at % len(WINDOWS)], large(problem)) for at in range(max(1, limits.workers))
        ]
        self._finished = [0] * max(1, limits.workers)  # rounds, by climber
        if limits.start is not None:
            self._take(limits.start)

    def run(self) -> Found:
        self._report()
        try:
            self._climb()
            self._settle()
        except KeyboardInterrupt:
            self.stopped = True
        return Found(
            self.best, self.bound, self.whiteboard, self.first_plan_s, self.rounds, self.stopped
        )

    def _climb(self) -> None:
        if self._done():
            return
        crew = Crew(self.limits.workers, self.limits.seed)
        try:
            crew.begin(self.problem)
            self._rounds(crew)
        finally:
            crew.dismiss()

    @property
    def rounds(self) -> int:
        """Rounds that every climber has finished."""
        return min(self._finished)

    @property
    def passed(self) -> float:
        return time.monotonic() - self.begin

    @property
    def proven(self) -> bool:
        """Whether nothing can be worth more, nor keep more of what is pinned."""
        return self.merit[0] >= self.bound + most_pull(self.problem)

    def _done(self) -> bool:
        if self.stopped or self.proven:
            return True
        if self.limits.work is not None:
            return self.rounds >= self.limits.work
        return self._late()

    def _rounds(self, crew: Crew) -> None:
        """Climbers go on as they come back; where work is counted, all together."""
        answers: dict[int, Better] = {}
        idle = set(range(crew.climbing))
        self._send(crew, idle)
        crew.prove(at_once=self.limits.work is None)
        while not self._done():
            idle = set()
            while not idle and not (self.stopped or self._late() or self.proven):
                answers.update(self._heard(crew))
                self._report()
                if self.limits.work is None or len(answers) == crew.climbing:
                    idle = set(answers)
            for member in sorted(idle):
                answer = answers.pop(member)
                found, begun = answer.draft, self._begun[member]
                self._own[member] = max(
                    self._own.get(member, found), found, key=partial(merit, self.problem)
                )
                self._paces[member].count(begun, value(self.problem, found), answer.steps)
                self._take(found)
                self._finished[member] += 1
            self._send(crew, idle)

    def _send(self, crew: Crew, members: Iterable[int]) -> None:
        for member in sorted(members):
            start, other = self._from(member)
            self._begun[member] = value(self.problem, start)
            crew.send(member, start, self._budget(member), other)

    def _from(self, member: int) -> tuple[Draft, Draft | None]:
        """Where a climber goes on, and another's best of which it may take over parts. It goes its
        own way until it has fallen far behind, or the end is near."""
        own = self._own.get(member, self.best)
        if self._used > APART or worth(self.problem, own) < FAR * self.worth:
            own = self.best
        others = [each for each in self._own.values() if each != own]
        return own, max(others, key=partial(merit, self.problem), default=None)

    @property
    def _used(self) -> float:
        """The part of the limit that is used up."""
        if self.limits.work is not None:
            return self.rounds / self.limits.work
        return 0.0 if self.limits.seconds is None else self.passed / self.limits.seconds

    def _heard(self, crew: Crew) -> dict[int, Better]:
        """What climbers have finished, by climber; what is told on the way is taken at once."""
        finished: dict[int, Better] = {}
        for member, message in crew.hear(0.2):
            if isinstance(message, int):
                self.bound = min(self.bound, message)
            elif message.final:
                finished[member] = message
            elif self.limits.work is None:
                self._take(message.draft)
        return finished

    def _late(self) -> bool:
        """Whether it is time to settle what was found."""
        limit = self.limits.seconds
        if self.limits.work is not None or limit is None:
            return False
        return self.passed >= limit - min(SETTLING_S, SETTLING_SHARE * limit)

    def _settle(self) -> None:
        """Every day once, as far as time goes."""
        settling = Settling(self.problem, Ruin(self.problem, Random(self.limits.seed)))
        for day in settling.days():
            seconds = PATIENCE_S if self.limits.work is not None else A_GOAL.seconds
            if self.limits.work is None and self.limits.seconds is not None:
                seconds = min(seconds, self.limits.seconds - self.passed)
            if self.stopped or seconds <= 0:
                return
            found = settling.settled(self.best, day, replace(A_GOAL, seconds=seconds))
            if found is not None:
                self._take(found)
            self._report()

    def _budget(self, member: int) -> Budget:
        """A climber's share of the limits for its next round."""
        total = self.limits.seconds if self.limits.work is None else None
        pace = self._paces[member]
        if self.limits.work is not None:
            return Budget(None, ROUND_STEPS, pace.warmth, pace.window, pace.alone)
        left = LONG_S if total is None else max(0.05, total - self.passed)
        seconds = left if pace.window else min(ROUND_SECONDS, left)
        return Budget(seconds, None, pace.warmth, pace.window, pace.alone)

    def _take(self, draft: Draft) -> None:
        found = merit(self.problem, draft)
        if found > self.merit and can_be_placed(self.problem, draft):
            self.best, self.merit = draft, found
            self.worth = worth(self.problem, draft)

    def _report(self) -> None:
        progress = Progress(
            self.passed,
            self.worth,
            max(self.bound, self.worth),
            self.whiteboard_g,
            self.limits.seconds,
            self.best,
        )
        self.stopped = bool(self.watch(progress)) or self.stopped
