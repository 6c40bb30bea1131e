"""How the time and memory of a lay-out grow with lots, dryers and days: one of them at a time from
a peak week, every lay-out in a process of its own."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any

from scheduler import bench
from scheduler.bench import PEAK_DRYERS, PEAK_LOTS
from scheduler.domain.rules import FULL
from scheduler.weeks import WEEKDAYS, week_of_size

if TYPE_CHECKING:
    from scheduler.planning import Limits, Progress


@dataclass(frozen=True, slots=True)
class Size:
    """What is asked for, and of how much. days: on which lots come."""

    lots: int = PEAK_LOTS
    dryers: int = PEAK_DRYERS
    days: int = WEEKDAYS


PEAK = Size()
AXES: dict[str, tuple[Size, ...]] = {  # demo; a lay-out is of one week (rule 1), closed on Sunday
    "lots": tuple(replace(PEAK, lots=each) for each in (10, 25, 60, 120, 250, 500)),
    "dryers": tuple(replace(PEAK, dryers=each) for each in (2, 4, 8, 16, 40)),
    "days": tuple(replace(PEAK, days=each) for each in (1, 2, 4, 6)),
}


@dataclass(frozen=True, slots=True)
class Grown:
    """A lay-out of a size. axis: which of its numbers is looked at. bound_s: when the first bound
    was proven that says more than that there is no more than asked for; None: not in the time there
    was. mib: memory of the largest process."""

    axis: str
    size: Size
    first_plan_s: float
    bound_s: float | None
    gap: float
    mib: float
    faults: tuple[str, ...] = ()

    @property
    def at(self) -> int:
        """The number that is looked at."""
        return int(getattr(self.size, self.axis))


def grown(limits: Limits, axes: dict[str, Sequence[Size]] | None = None) -> Iterator[Grown]:
    """One after the other; a size that lies on several axes is laid out once."""
    known: dict[Size, Grown] = {}
    for axis, sizes in (axes or AXES).items():
        for size in sizes:
            if size not in known:
                with ProcessPoolExecutor(1, get_context("spawn")) as apart:
                    known[size] = apart.submit(_laid_out, axis, size, limits).result()
            yield replace(known[size], axis=axis)


def _laid_out(axis: str, size: Size, limits: Limits) -> Grown:
    asked = week_of_size(limits.seed, lots=size.lots, dryers=size.dryers, days=size.days)
    bounds: list[tuple[int, float]] = []

    def tell(_: str, progress: Progress) -> None:
        if not bounds or progress.bound_g < bounds[-1][0]:
            bounds.append((progress.bound_g, progress.seconds))

    outcome = bench.measured(asked, FULL, limits, tell)
    return Grown(
        axis,
        size,
        outcome.first_plan_s,
        bounds[1][1] if len(bounds) > 1 else None,
        outcome.proof.gap,
        _largest_mib(),
        tuple(f"rule {fault.rule}: {fault.message}" for fault in outcome.faults),
    )


def _largest_mib() -> float:
    """Of this process and those that it has started and that have ended."""
    import resource  # noqa: PLC0415 not on every system

    whose = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    most = max(resource.getrusage(each).ru_maxrss for each in whose)
    return most / (1 << 20 if sys.platform == "darwin" else 1 << 10)  # bytes there, KiB elsewhere


def grown_json(each: Grown) -> dict[str, Any]:
    """JSON values."""
    return asdict(each)
