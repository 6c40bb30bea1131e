"""Flow shops by hand: an order of jobs for the first stage, later stages first come, first served.

Iterated greedy (Ruiz and Stuetzle, European Journal of Operational Research 177, 2007) with every
place of a job tried at once: the orders of a batch are worked through side by side.
"""

from __future__ import annotations

import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from math import exp
from multiprocessing import get_context
from random import Random

import numpy as np
from numpy.typing import NDArray

from scheduler.shops.chain import Placed, Schedule, Shop, length

CREW_S = 8.0  # with less time another process would hardly have begun
TAKEN_OUT = 4  # jobs at a time
ROWS = 200  # orders worked through together: as many as cost little more than one
HEAT = 0.002  # of the length: how much worse is still taken now and then

Rows = NDArray[np.int64]  # a row an order


def climbed(shop: Shop, start: Schedule, *, seconds: float, seed: int, workers: int) -> Schedule:
    """Never longer than start. The shop is climbed forwards and backwards, at a time where two
    workers are there.

    Backwards, each job's steps and time are reversed: a schedule of that, mirrored, is one of the
    shop and as long.
    """
    back = backwards(shop)
    until = time.time() + seconds
    if workers == 1 or seconds < CREW_S:
        middle = until - seconds / 2
        ways = (one_way(shop, middle, seed), one_way(back, until, seed))
    else:
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as other:
            later = other.submit(one_way, back, until, seed)
            ways = (one_way(shop, until, seed), later.result())
    return min(start, ways[0], mirrored(ways[1]), key=length)


def one_way(shop: Shop, until: float, seed: int) -> Schedule:
    """What a climb comes to by then, seconds of the clock that all processes share."""
    climb = _Climb(shop, Random(seed))
    climb.run(until)
    return climb.schedule()


def backwards(shop: Shop) -> Shop:
    """The same shop with each job's steps in reverse."""
    return Shop(shop.name, shop.pools, tuple(job[::-1] for job in shop.jobs))


def mirrored(schedule: Schedule) -> Schedule:
    """The schedule with time reversed."""
    end = length(schedule)
    return tuple(
        tuple(Placed(each.way, end - each.end) for each in reversed(job)) for job in schedule
    )


@dataclass(frozen=True, slots=True)
class Stages:
    """What a shop that flows comes to. ticks[stage, job]; stations[stage]."""

    ticks: NDArray[np.int64]
    stations: tuple[int, ...]

    @classmethod
    def of(cls, shop: Shop) -> Stages:
        ticks = [[way.ticks for (way,) in job] for job in shop.jobs]
        return cls(np.array(ticks).T.copy(), tuple(shop.pools[way.pool] for (way,) in shop.jobs[0]))

    def ends(self, orders: Rows) -> list[Rows]:
        """By stage, when each job of each order ends there, and last how they stand in the order:
        orders (rows, jobs); ends (rows, jobs), both as the stage takes them."""
        ready, found = np.zeros_like(orders), []
        for ticks, stations in zip(self.ticks, self.stations, strict=True):
            ends = _through(ready, ticks[orders], stations)
            found += [orders, ends]
            turn = ends.argsort(axis=1, kind="stable")
            orders = np.take_along_axis(orders, turn, 1)
            ready = np.take_along_axis(ends, turn, 1)
        return found

    def lengths(self, orders: Rows) -> NDArray[np.int64]:
        """How long each order takes: (rows,)."""
        lengths: NDArray[np.int64] = self.ends(orders)[-1].max(axis=1)
        return lengths


def _through(ready: Rows, ticks: Rows, stations: int) -> Rows:
    """Jobs one by one onto the station that is free first; free times are kept in order."""
    ready_of, ticks_of = np.ascontiguousarray(ready.T), np.ascontiguousarray(ticks.T)
    ends = np.empty_like(ready_of)
    free = np.zeros((stations, len(ready)), np.int64)
    for place in range(len(ready_of)):
        end = ends[place]
        np.maximum(ready_of[place], free[0], out=end)
        end += ticks_of[place]
        carried = end
        for lane in range(1, stations):
            np.minimum(free[lane], carried, out=free[lane - 1])
            carried = np.maximum(free[lane], carried)
        free[-1] = carried
    return ends.T


class _Climb:
    """Some jobs are taken out and put back one by one, each where the rest is shortest; the best of
    several such tries, worked through together, is the next order."""

    def __init__(self, shop: Shop, random: Random) -> None:
        self.shop, self.stages, self.random = shop, Stages.of(shop), random
        self.tries = max(2, ROWS // len(shop.jobs))
        work = self.stages.ticks.sum(axis=0)
        orders = np.empty((1, 0), np.int64)
        for job in sorted(range(len(shop.jobs)), key=lambda each: -work[each]):
            lengths, orders = self._put_back(orders, np.array([job]))
        self.now = self.best = int(lengths[0]), orders[0]

    def run(self, until: float) -> None:
        heat = HEAT * self.best[0]
        while time.time() < until:
            found = self._best_try()
            if found[0] <= self.now[0] or self.random.random() < exp(
                (self.now[0] - found[0]) / heat
            ):
                self.now = found
            self.best = min(self.best, self.now, key=lambda each: each[0])

    def _best_try(self) -> tuple[int, NDArray[np.int64]]:
        count = len(self.shop.jobs)
        some = min(self.random.randint(1, TAKEN_OUT), count)
        out = np.array([self.random.sample(range(count), some) for _ in range(self.tries)])
        orders = np.array([self.now[1][~np.isin(self.now[1], jobs)] for jobs in out])
        for jobs in out.T:
            lengths, orders = self._put_back(orders, jobs)
        best = int(lengths.argmin())
        return int(lengths[best]), orders[best]

    def _put_back(self, orders: Rows, jobs: NDArray[np.int64]) -> tuple[NDArray[np.int64], Rows]:
        """Each order with its job where it is shortest then, and how long that is. orders
        (tries, jobs so far); jobs (tries,)."""
        tries, count = orders.shape[0], orders.shape[1] + 1
        places = np.arange(count)
        before = places[None, :] < places[:, None]  # [place, position]
        moved = np.concatenate([orders, orders[:, -1:] if count > 1 else jobs[:, None]], axis=1)
        shifted = np.concatenate([moved[:, :1], orders], axis=1)
        rows = np.where(before[None], moved[:, None, :], shifted[:, None, :])
        rows[:, places, places] = jobs[:, None]
        lengths = self.stages.lengths(rows.reshape(tries * count, count)).reshape(tries, count)
        chosen = lengths.argmin(axis=1)
        each = np.arange(tries)
        return lengths[each, chosen], rows[each, chosen]

    def schedule(self) -> Schedule:
        found = self.stages.ends(self.best[1][None])
        ends: list[dict[int, int]] = [
            dict(zip(jobs[0].tolist(), at[0].tolist(), strict=True))
            for jobs, at in zip(found[::2], found[1::2], strict=True)
        ]
        return tuple(
            tuple(Placed(way, ends[stage][job] - way.ticks) for stage, (way,) in enumerate(steps))
            for job, steps in enumerate(self.shop.jobs)
        )
