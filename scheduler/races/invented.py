"""Raced without a file: one published shop, and shops and ovens drawn by seed (demo)."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from scheduler.shops.chain import Shop, Way
from scheduler.shops.ovens import Job, Oven, Ovens, Weights

SEEDS = range(1, 4)

# Fisher and Thompson, Probabilistic learning combinations of local job-shop scheduling rules,
# in Industrial Scheduling, 1963: six jobs of six steps, station and ticks.
FT06 = (
    ((2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)),
    ((1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)),
    ((2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)),
    ((1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)),
    ((2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)),
    ((1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)),
)


def ft06() -> Iterator[Shop]:
    jobs = tuple(tuple((Way(station, ticks),) for station, ticks in job) for job in FT06)
    yield Shop("ft06", (1,) * 6, jobs)


def flexible() -> Iterator[Shop]:
    """Ten jobs of five steps, each on one to three of six stations."""
    for seed in SEEDS:
        rng = Random(seed)
        jobs = tuple(tuple(_ways(rng) for _ in range(5)) for _ in range(10))
        yield Shop(f"flexible-{seed}", (1,) * 6, jobs)


def _ways(rng: Random) -> tuple[Way, ...]:
    stations = rng.sample(range(6), rng.randint(1, 3))
    return tuple(Way(station, rng.randint(1, 9)) for station in stations)


def flow_shop() -> Iterator[Shop]:
    """Twenty jobs through four stages of two like stations."""
    for seed in SEEDS:
        rng = Random(seed)
        jobs = tuple(tuple((Way(s, rng.randint(1, 99)),) for s in range(4)) for _ in range(20))
        yield Shop(f"flow-{seed}", (2,) * 4, jobs)


def invented_ovens() -> Iterator[Ovens]:
    for seed in SEEDS:
        yield ovens_by_seed(seed, jobs=12)


def ovens_by_seed(seed: int, *, jobs: int, ovens: int = 2, families: int = 2) -> Ovens:
    """Ovens of two shifts a day, jobs that come and are due over the days that they need."""
    rng = Random(seed)
    days = 2 + jobs // 4
    made = tuple(_job(rng, ovens, families, latest=days * 60) for _ in range(jobs))
    after = range(families + 1)
    return Ovens(
        f"ovens-{jobs}-{seed}",
        tuple(_oven(rng, families, days) for _ in range(ovens)),
        made,
        tuple(tuple(rng.randint(0, 3) for _ in range(families)) for _ in after),
        tuple(tuple(rng.randint(0, 9) for _ in range(families)) for _ in after),
        Weights(tick=4, late=600, set_up=1, scale=1000 * jobs),
    )


def _oven(rng: Random, families: int, days: int) -> Oven:
    """Open from 10 to 100 of every 120 ticks; its last day never ends too soon for all jobs."""
    windows = tuple((120 * day + 10, 120 * day + 100) for day in range(3 * days))
    return Oven(rng.randint(20, 40), windows, rng.randint(0, families))


def _job(rng: Random, ovens: int, families: int, *, latest: int) -> Job:
    shortest = rng.randint(10, 40)
    earliest = rng.randint(0, latest)
    return Job(
        ovens=tuple(sorted(rng.sample(range(ovens), rng.randint(1, ovens)))),
        family=rng.randrange(families),
        size=rng.randint(2, 20),
        earliest=earliest,
        latest=earliest + shortest * rng.randint(1, 4),
        shortest=shortest,
        longest=shortest + rng.randint(0, 30),
    )
