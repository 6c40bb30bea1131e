"""Ovens by hand: some jobs are taken out and put back one by one where that costs least."""

from __future__ import annotations

import time
from bisect import bisect_right
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from math import exp
from multiprocessing import get_context
from random import Random

from scheduler.shops.oven_lines import NEVER, Group, Line
from scheduler.shops.ovens import Job, Loads, Ovens, cost, in_order

CREW_S = 8.0  # with less time another process would hardly have begun
LEAST_S = 0.1
MOST_OUT = 8
LATE_PLACES = 6  # tried where a job is late anyway
STEPS = 20  # between looks at the clock
FEW = 50  # jobs: with more, there is no time to begin so warm
WARM = 0.5  # of a late job's weight: how much worse is taken at first; at the end, two ticks


def climbed(ovens: Ovens, start: Loads, *, seconds: float, seed: int, workers: int) -> Loads:
    """Never dearer than start; with two workers the better of two climbs at a time."""
    until = time.time() + seconds
    if workers == 1 or seconds < CREW_S:
        return _one(ovens, start, until, seed)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as other:
        later = other.submit(_one, ovens, start, until, seed + 1)
        found = (_one(ovens, start, until, seed), later.result())
    return min(found, key=lambda loads: cost(ovens, loads))


def _one(ovens: Ovens, start: Loads, until: float, seed: int) -> Loads:
    climb = _Climb(ovens, start, Random(seed))
    climb.run(until)
    return tuple(batch for line in climb.lines for batch in line.batches())


class _Climb:
    def __init__(self, ovens: Ovens, start: Loads, random: Random) -> None:
        self.ovens, self.random = ovens, random
        self.lines = [
            Line(ovens, i, [Group.of(ovens, b.jobs) for b in in_order(start, i)])
            for i in range(len(ovens.ovens))
        ]

    @property
    def total(self) -> int:
        return sum(line.total for line in self.lines)

    def run(self, until: float) -> None:
        begin, weights = time.time(), self.ovens.weights
        until = max(until, begin + LEAST_S)
        now = best = self.total
        kept = self._groups()
        few = min(1.0, FEW / len(self.ovens.jobs))
        warm, cold = max(1.0, WARM * few * weights.late), max(1.0, 2.0 * weights.tick)
        while (spent := (time.time() - begin) / (until - begin)) < 1:
            heat = warm * (cold / warm) ** spent
            for _ in range(STEPS):
                before = self._groups()
                self._step()
                found = self.total
                worse = found - now
                if found >= NEVER or (worse > 0 and self.random.random() >= exp(-worse / heat)):
                    self._set(before)
                    continue
                now = found
                if now < best:
                    best, kept = now, self._groups()
        self._set(kept)

    def _groups(self) -> list[list[Group]]:
        return [line.groups for line in self.lines]

    def _set(self, groups: list[list[Group]]) -> None:
        for line, own in zip(self.lines, groups, strict=True):
            if line.groups is not own:
                line.set(own)
                line.groups = own

    def _step(self) -> None:
        out = self._taken_out()
        jobs = self.ovens.jobs
        by = self.random.random()
        if by < 1 / 3:
            self.random.shuffle(out)
        else:
            out.sort(key=lambda job: jobs[job].latest if by < 2 / 3 else -jobs[job].size)
        for job in out:
            if self.total >= NEVER:
                return  # nothing makes that good; run() puts the lines back as they were
            self._put_back(job)

    def _taken_out(self) -> list[int]:
        """A whole group, or jobs by chance, or those of one family close to each other."""
        kind = self.random.random()
        count = self.random.randint(1, MOST_OUT)
        lines = [line for line in self.lines if line.groups]
        line = self.random.choice(lines)
        at = self.random.randrange(len(line.groups))
        if kind < 1 / 3:
            out = list(line.groups[at].jobs)[:MOST_OUT]
        elif kind < 2 / 3:
            out = self.random.sample(range(len(self.ovens.jobs)), min(count, len(self.ovens.jobs)))
        else:
            end = line.states[at + 1][0]
            near = [
                (abs(each.states[place + 1][0] - end), job)
                for each in lines
                for place, group in enumerate(each.groups)
                for job in group.jobs
            ]
            near.sort()
            out = self.random.sample([job for _, job in near[: 3 * count]], min(count, len(near)))
        self._take_out(set(out))
        return out

    def _take_out(self, out: set[int]) -> None:
        for line in self.lines:
            if any(job in out for group in line.groups for job in group.jobs):
                groups = []
                for group in line.groups:
                    left = [job for job in group.jobs if job not in out]
                    if len(left) == len(group.jobs):
                        groups.append(group)
                    elif left:
                        groups.append(Group.of(self.ovens, left))
                line.set(groups)

    def _put_back(self, number: int) -> None:
        """Where it costs least, by chance among equals; a group of its own, or joining one."""
        job = self.ovens.jobs[number]
        alone = Group.of(self.ovens, [number])
        least, found = 2 * NEVER, (alone, self.lines[job.ovens[0]], 0, 0)
        for oven in job.ovens:
            line = self.lines[oven]
            for place in self._places(line, job):
                for group, after in self._ways(line, place, alone):
                    costs = line.with_instead(place, group, after) - line.total
                    if costs < least or (costs == least and self.random.random() < 1 / 2):
                        least, found = costs, (group, line, place, after)
        group, line, place, after = found
        line.set([*line.groups[:place], group, *line.groups[after:]])

    def _places(self, line: Line, job: Job) -> list[int]:
        """From where the job is there to where it is in time; of those after it, where it is late
        anyway, the last and a few by chance."""
        count = len(line.groups)
        first = bisect_right(line.ends, job.earliest)
        last = bisect_right(line.ends, job.latest - job.shortest)
        places = list(range(min(first, count), min(last, count) + 1))
        late = range(max(first, last + 1), count)
        return [*places, *self.random.sample(late, min(LATE_PLACES, len(late))), count]

    def _ways(self, line: Line, place: int, alone: Group) -> Iterator[tuple[Group, int]]:
        """A group of its own before the one at that place, or joining that; and what comes next."""
        yield alone, place
        if place < len(line.groups):
            group = line.groups[place]
            bears = max(group.shortest, alone.shortest) <= min(group.longest, alone.longest)
            fits = group.size + alone.size <= line.capacity
            if bears and fits and group.family == alone.family:
                yield group.joined(alone.jobs[0], self.ovens.jobs[alone.jobs[0]]), place + 1
