"""The anytime search on a chain of stations: by rule, by hand, whole, then large neighbourhoods."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from ortools.sat.python import cp_model

from scheduler.model.shops.chains import (
    ShopBuild,
    Step,
    hint,
    schedule_of,
    shop_beside,
    whole_shop,
)
from scheduler.model.solve import Effort, solve_unless_interrupted, solver_for
from scheduler.model.tally import Tally
from scheduler.shops.bound import soonest_end
from scheduler.shops.by_order import climbed
from scheduler.shops.chain import Schedule, Shop, length
from scheduler.shops.dispatch import dispatched

BY_HAND_SHARE = 0.6  # of the time, where a shop flows and is large
WHOLE_SHARE = 0.5  # of what is left after that, for the whole shop at once
MANY_STEPS = 200  # from here on the whole shop at once is asked little of
FEW_STEPS, MOST_STEPS = 30, 150  # freed at once
ONLY_SHORTER = 0.5  # of the neighbourhoods; the others may also come to another one as long
LEAST_S, MOST_S = 0.5, 4.0  # for one neighbourhood


@dataclass(slots=True)
class Found:
    """What was found so far. heard: seconds and length, whenever a better one was found."""

    schedule: Schedule
    bound: int
    heard: list[tuple[float, int]] = field(default_factory=list)

    @property
    def length(self) -> int:
        return length(self.schedule)

    @property
    def proven(self) -> bool:
        return self.length <= self.bound


def searched(shop: Shop, *, seconds: float, workers: int, seed: int) -> Found:
    """The shortest schedule found in that time, and what no schedule is shorter than."""
    search = _Search(shop, Effort(seconds=seconds, seed=seed, workers=workers))
    search.run()
    return search.found


def in_one_model(shop: Shop, *, seconds: float, workers: int, seed: int) -> Found | None:
    """The peer: the whole shop in one model, solver as it comes, no hint; None: nothing found."""
    begin = time.monotonic()
    build, solver = whole_shop(shop, shop.latest), cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    if solve_unless_interrupted(solver, build.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    found = Found(schedule_of(build, solver), int(solver.best_objective_bound))
    found.heard.append((time.monotonic() - begin, found.length))
    return found


class _Search:
    def __init__(self, shop: Shop, effort: Effort) -> None:
        self.shop, self.effort = shop, effort
        self.begin, self.random = time.monotonic(), Random(effort.seed)
        self.found = Found(dispatched(shop), soonest_end(shop))
        self._heard()
        self.size = float(FEW_STEPS)
        self.tallies: dict[str, Tally] = defaultdict(Tally)
        self.kinds: dict[str, Callable[[int], list[Step]]] = {
            "close in time": self._close,
            "pools": self._pools,
            "jobs": self._jobs,
        }

    @property
    def left_s(self) -> float:
        return self.effort.seconds - (time.monotonic() - self.begin)

    def run(self) -> None:
        if self.shop.flows and self.shop.steps >= MANY_STEPS and not self.found.proven:
            share = self.left_s * BY_HAND_SHARE
            self._take(
                climbed(
                    self.shop,
                    self.found.schedule,
                    seconds=share,
                    seed=self.effort.seed,
                    workers=self.effort.workers,
                )
            )
        if not self.found.proven:
            few = self.shop.steps < MANY_STEPS
            self._whole(self.left_s * (WHOLE_SHARE if few else WHOLE_SHARE / 4))
        while self.left_s > LEAST_S and not self.found.proven:
            self._neighbourhood()

    def _take(self, schedule: Schedule) -> bool:
        """Whether it is shorter; one as long is taken, too, so that the search goes on from it."""
        shorter = length(schedule) < self.found.length
        if length(schedule) <= self.found.length:
            self.found.schedule = schedule
        if shorter:
            self._heard()
        return shorter

    def _heard(self) -> None:
        self.found.heard.append((time.monotonic() - self.begin, self.found.length))

    def _whole(self, seconds: float) -> None:
        build = whole_shop(self.shop, self.found.length)
        hint(build, self.found.schedule)
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = max(seconds, LEAST_S)
        solver.parameters.num_workers = self.effort.workers
        solver.parameters.random_seed = self.effort.seed
        self._solve(build, solver)
        self.found.bound = max(self.found.bound, int(solver.best_objective_bound))

    def _neighbourhood(self) -> None:
        weights = [self.tallies[name].weight for name in self.kinds]
        name = self.random.choices(list(self.kinds), weights)[0]
        free = set(self.kinds[name](int(self.size)))
        every = {(j, s) for j, steps in enumerate(self.shop.jobs) for s in range(len(steps))}
        only_shorter = self.random.random() < ONLY_SHORTER
        horizon = self.found.length - only_shorter
        build = shop_beside(self.shop, horizon, self.found.schedule, every - free)
        seconds = min(MOST_S, max(LEAST_S, self.left_s))
        solver = solver_for(
            Effort(seconds, seed=self.random.randrange(2**31), workers=self.effort.workers)
        )
        shorter, ended = self._solve(build, solver)
        self.tallies[name].count(shorter)
        self.size = self.size * (1.1 if ended else 0.85)
        self.size = min(max(self.size, FEW_STEPS), MOST_STEPS)

    def _solve(self, build: ShopBuild, solver: cp_model.CpSolver) -> tuple[bool, bool]:
        """Whether a shorter schedule was found, and whether there was nothing more to find."""
        status = solve_unless_interrupted(solver, build.model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return False, status == cp_model.INFEASIBLE
        return self._take(schedule_of(build, solver)), status == cp_model.OPTIMAL

    def _close(self, count: int) -> list[Step]:
        """The steps around a moment."""
        centre = self.random.randrange(self.found.length + 1)
        schedule = self.found.schedule
        every = [(j, s) for j, job in enumerate(schedule) for s in range(len(job))]
        every.sort(
            key=lambda at: abs(
                schedule[at[0]][at[1]].start + schedule[at[0]][at[1]].end - 2 * centre
            )
        )
        return every[:count]

    def _pools(self, count: int) -> list[Step]:
        """All steps in some pools, or as many of them as are close in time."""
        pools = list(range(len(self.shop.pools)))
        self.random.shuffle(pools)
        some = set(pools[: self.random.randint(1, 2)])
        close = self._close(self.shop.steps)
        return [at for at in close if self.found.schedule[at[0]][at[1]].way.pool in some][:count]

    def _jobs(self, count: int) -> list[Step]:
        """All steps of some jobs that begin close to each other."""
        jobs = list(dict.fromkeys(job for job, _ in self._close(self.shop.steps)))
        free: list[Step] = []
        while jobs and len(free) < count:
            job = jobs.pop(min(len(jobs) - 1, int(self.random.expovariate(1 / 3))))
            free += [(job, step) for step in range(len(self.shop.jobs[job]))]
        return free
