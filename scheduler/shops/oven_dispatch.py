"""The plain dispatcher of ovens: the oven free first takes what is due first, and fills."""

from __future__ import annotations

from scheduler.errors import BrokenPromise
from scheduler.shops.ovens import Batch, Job, Loads, Ovens


def dispatched(ovens: Ovens) -> Loads:
    """BrokenPromise where some job finds no room before the windows end."""
    return _Dispatch(ovens).run()


class _Dispatch:
    def __init__(self, ovens: Ovens) -> None:
        self.ovens = ovens
        self.left = set(range(len(ovens.jobs)))
        self.families = [oven.family for oven in ovens.ovens]
        self.free = [0 for _ in ovens.ovens]

    def run(self) -> Loads:
        """Ovens by the tick at which they are free; one with nothing to take waits for the next
        job or window, for good where none comes."""
        loads: list[Batch] = []
        waiting = set(range(len(self.ovens.ovens)))
        while self.left and waiting:
            oven = min(waiting, key=lambda each: (self.free[each], each))
            batch = self._next(oven)
            if batch is not None:
                loads.append(batch)
                self.left -= set(batch.jobs)
                self.free[oven] = batch.end
                self.families[oven] = self.ovens.jobs[batch.jobs[0]].family
            elif not self._waits(oven):
                waiting.remove(oven)
        if self.left:
            raise BrokenPromise(f"{len(self.left)} jobs found no room in the ovens' windows")
        return tuple(loads)

    def _waits(self, oven: int) -> bool:
        now = self.free[oven]
        times = [from_ for from_, _ in self.ovens.ovens[oven].windows]
        times += [
            self.ovens.jobs[j].earliest for j in self.left if oven in self.ovens.jobs[j].ovens
        ]
        later = [tick for tick in times if tick > now]
        if later:
            self.free[oven] = min(later)
        return bool(later)

    def _next(self, oven: int) -> Batch | None:
        """A batch that starts now, after its set-up, around the most urgent job that fits."""
        now, jobs = self.free[oven], self.ovens.jobs
        here = [j for j in self.left if oven in jobs[j].ovens and jobs[j].earliest <= now]
        for first in sorted(here, key=lambda j: self._urgency(jobs[j], now)):
            start, shuts = self._room(oven, jobs[first], now)
            if start is not None and start + jobs[first].shortest <= shuts:
                return self._filled(oven, first, start, shuts)
        return None

    def _urgency(self, job: Job, now: int) -> tuple[bool, int, int]:
        """What can still be in time first, by when it is due."""
        return now + job.shortest > job.latest, job.latest, -job.size

    def _room(self, oven: int, job: Job, now: int) -> tuple[int | None, int]:
        """The first start from now on after a set-up within one window, and when that ends."""
        set_up = self.ovens.set_up_ticks[self.families[oven]][job.family]
        for opens, shuts in self.ovens.ovens[oven].windows:
            start = max(now, opens) + set_up
            if start + job.shortest <= shuts:
                return start, shuts
        return None, 0

    def _filled(self, oven: int, first: int, start: int, shuts: int) -> Batch:
        jobs, capacity = self.ovens.jobs, self.ovens.ovens[oven].capacity
        inside, size = [first], jobs[first].size
        ticks, longest = jobs[first].shortest, jobs[first].longest
        mates = [j for j in self.left if j != first and oven in jobs[j].ovens]
        for each in sorted(mates, key=lambda j: self._urgency(jobs[j], start)):
            job = jobs[each]
            least, most = max(ticks, job.shortest), min(longest, job.longest)
            alike = job.family == jobs[first].family and job.earliest <= start
            if alike and size + job.size <= capacity and least <= min(most, shuts - start):
                inside.append(each)
                size, ticks, longest = size + job.size, least, most
        return Batch(oven, start, ticks, tuple(inside))
