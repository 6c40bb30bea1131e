"""The anytime search on ovens: by rule, whole where they are few, then some batches filled anew."""

from __future__ import annotations

import time
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field, replace
from random import Random

from ortools.sat.python import cp_model

from scheduler.errors import BrokenPromise
from scheduler.model.shops.oven_in_time import add_conflicts
from scheduler.model.shops.oven_slots import Gap, hint, loads_of, oven_model
from scheduler.model.solve import Effort, solve_unless_interrupted, solver_for
from scheduler.shops.oven_bound import least_cost
from scheduler.shops.oven_climb import climbed
from scheduler.shops.oven_conflicts import never_in_time
from scheduler.shops.oven_dispatch import dispatched
from scheduler.shops.ovens import Batch, Loads, Ovens, cost, in_order

FEW_JOBS = 60  # up to here all jobs are also free at once
BY_HAND_FEW, BY_HAND_MANY = 0.3, 0.8  # of the time
WHOLE_SHARE = 0.8  # of the time left for all jobs free, where they are few
SPARE_SLOTS = 3  # batches more on each oven than now, where all is free
FEWEST_FREE, MOST_FREE = 8, 40
LEAST_S, MOST_S = 0.3, 3.0  # for one neighbourhood


@dataclass(slots=True)
class Filled:
    """What was found so far. heard: seconds and cost, whenever a better one was found."""

    loads: Loads
    cost: int
    bound: int
    heard: list[tuple[float, int]] = field(default_factory=list)

    @property
    def proven(self) -> bool:
        return self.cost <= self.bound


def filled(ovens: Ovens, *, seconds: float, workers: int, seed: int) -> Filled | None:
    """The cheapest loads found in that time, and what no loads are cheaper than; None: nothing."""
    effort, begin = Effort(seconds=seconds, seed=seed, workers=workers), time.monotonic()
    loads = _first(ovens, effort)
    if loads is None:
        return None
    search = _Search(ovens, effort, loads, begin)
    search.run()
    return search.found


def _first(ovens: Ovens, effort: Effort) -> Loads | None:
    """By rule; by the model where the rule runs into a dead end."""
    try:
        return dispatched(ovens)
    except BrokenPromise:
        found = in_one_model(
            ovens,
            seconds=effort.seconds,
            workers=effort.workers,
            seed=effort.seed,
            any_will_do=True,
        )
        return found.loads if found else None


def in_one_model(
    ovens: Ovens, *, seconds: float, workers: int, seed: int, any_will_do: bool = False
) -> Filled | None:
    """The peer: all jobs free in one model, as many slots as jobs, solver as it comes, no hint.
    any_will_do: the first found ends it."""
    begin, count = time.monotonic(), len(ovens.jobs)
    build = oven_model(ovens, list(_empty(ovens, [count] * len(ovens.ovens))), range(count))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    solver.parameters.stop_after_first_solution = any_will_do
    if solve_unless_interrupted(solver, build.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    loads = loads_of(build, solver)
    bound = _up(solver.best_objective_bound)
    found = cost(ovens, loads)
    return Filled(loads, found, bound, [(time.monotonic() - begin, found)])


def _empty(ovens: Ovens, slots: list[int]) -> Iterator[Gap]:
    """Each oven as one gap."""
    for index, (oven, count) in enumerate(zip(ovens.ovens, slots, strict=True)):
        yield Gap(index, 0, oven.family, ovens.horizon, None, count)


def _up(bound: float) -> int:
    return int(-(-bound // 1))


class _Search:
    def __init__(self, ovens: Ovens, effort: Effort, loads: Loads, begin: float) -> None:
        self.ovens, self.effort = ovens, effort
        self.begin, self.random = begin, Random(effort.seed)
        self.found = Filled(loads, cost(ovens, loads), least_cost(ovens))
        self.size = 15.0
        self._heard()

    @property
    def left_s(self) -> float:
        return self.effort.seconds - (time.monotonic() - self.begin)

    def run(self) -> None:
        few = len(self.ovens.jobs) <= FEW_JOBS
        if not self.found.proven:
            share = self.left_s * (BY_HAND_FEW if few else BY_HAND_MANY)
            effort, loads = self.effort, self.found.loads
            self._take(
                climbed(self.ovens, loads, seconds=share, seed=effort.seed, workers=effort.workers)
            )
        until = self.left_s * WHOLE_SHARE if few else 0.0
        while self.left_s > max(LEAST_S, until) and not self.found.proven:
            self._neighbourhood()
        if few and not self.found.proven:
            self._whole()

    def _heard(self) -> None:
        self.found.heard.append((time.monotonic() - self.begin, self.found.cost))

    def _take(self, loads: Loads) -> bool:
        now = cost(self.ovens, loads)
        better = now < self.found.cost
        if now <= self.found.cost:
            self.found.loads, self.found.cost = loads, now
        if better:
            self._heard()
        return better

    def _whole(self) -> None:
        """All jobs free, in few more slots than now; then, if time is left, in as many as they
        could fill: only that bounds all loads."""
        count, loads = range(len(self.ovens.ovens)), self.found.loads
        most = [sum(index in job.ovens for job in self.ovens.jobs) for index in count]
        now = [len(in_order(loads, index)) + SPARE_SLOTS for index in count]
        few = [min(pair) for pair in zip(now, most, strict=True)]
        if few != most:
            self._refill(few)
        if few == most or (self.left_s > LEAST_S and not self.found.proven):
            bound = self._refill(most)
            self.found.bound = max(self.found.bound, _up(bound))

    def _refill(self, slots: list[int]) -> float:
        """The batches made anew in so many slots by oven, and what none in them are cheaper
        than."""
        build = oven_model(self.ovens, list(_empty(self.ovens, slots)), range(len(self.ovens.jobs)))
        add_conflicts(build)
        hint(build, self.found.loads)
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = max(self.left_s, LEAST_S)
        solver.parameters.num_workers = self.effort.workers
        solver.parameters.random_seed = self.effort.seed
        if solve_unless_interrupted(solver, build.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self._take(loads_of(build, solver))
        return solver.best_objective_bound

    def _neighbourhood(self) -> None:
        freed = set(self._freed())
        kept = [batch for batch in self.found.loads if batch not in freed]
        out = set(self._late_elsewhere(kept))
        jobs = {job for batch in freed for job in batch.jobs} | out
        rest = tuple(self._without(batch, out) for batch in kept)
        build = oven_model(
            self.ovens, list(gaps(self.ovens, self.found.loads, freed)), sorted(jobs)
        )
        if not out:
            hint(build, sorted(freed, key=lambda batch: batch.start))
        seconds = min(MOST_S, max(LEAST_S, self.left_s))
        seed = self.random.randrange(2**31)
        solver = solver_for(Effort(seconds, seed=seed, workers=self.effort.workers))
        status = solve_unless_interrupted(solver, build.model)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self._take((*rest, *loads_of(build, solver)))
        self.size *= 1.05 if status == cp_model.OPTIMAL else 0.9
        self.size = min(max(self.size, FEWEST_FREE), MOST_FREE)

    def _freed(self) -> list[Batch]:
        """Batches on one to three ovens around a moment, as many as hold about so many jobs."""
        loads = self.found.loads
        centre = self.random.choice(loads)
        count = min(len(self.ovens.ovens), self.random.choice([1, 2, 2, 3]))
        some = {centre.oven, *self.random.sample(range(len(self.ovens.ovens)), count - 1)}
        near = sorted(
            (b for b in loads if b.oven in some), key=lambda b: abs(b.start - centre.start)
        )
        freed: list[Batch] = []
        while near and sum(len(batch.jobs) for batch in freed) < self.size:
            freed.append(near.pop(0))
        return freed

    def _late_elsewhere(self, kept: Collection[Batch]) -> list[int]:
        """Some late jobs of kept batches that keep others."""
        late = [
            job
            for batch in kept
            for job in batch.jobs[1:]
            if batch.end > self.ovens.jobs[job].latest
            and not never_in_time(self.ovens, self.ovens.jobs[job])
        ]
        return self.random.sample(late, min(len(late), self.random.choice([0, 0, 4, 8])))

    def _without(self, batch: Batch, out: set[int]) -> Batch:
        jobs = tuple(job for job in batch.jobs if job not in out)
        if len(jobs) == len(batch.jobs):
            return batch
        shortest = max(self.ovens.jobs[job].shortest for job in jobs)
        return replace(batch, jobs=jobs, ticks=shortest)


def gaps(ovens: Ovens, loads: Loads, freed: Collection[Batch]) -> Iterator[Gap]:
    """The stretches of batches that follow each other and are freed, each with a slot more."""
    for index, oven in enumerate(ovens.ovens):
        begins, family, slots = 0, oven.family, 0
        for batch in in_order(loads, index):
            if batch in freed:
                slots += 1
                continue
            now = ovens.jobs[batch.jobs[0]].family
            if slots:
                yield Gap(index, begins, family, batch.start, now, slots + 1)
            begins, family, slots = batch.end, now, 0
        if slots:
            yield Gap(index, begins, family, ovens.horizon, None, slots + 1)
