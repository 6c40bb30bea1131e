"""PyJobShop as a peer, where it is installed: pip install 'commonrack[races]'."""

from __future__ import annotations

import time
from importlib.util import find_spec
from typing import Any

from scheduler.shops.chain import Placed, Schedule, Shop, Way

MISSING = "PyJobShop is not installed; pip install 'commonrack[races]' races it as well"


def installed() -> bool:
    return find_spec("pyjobshop") is not None


def by_pyjobshop(
    shop: Shop, *, seconds: float, workers: int, seed: int
) -> tuple[float, Schedule, int] | None:
    """Seconds, its schedule and its bound; None where it found nothing in that time.

    Like stations are machines of their own there, so a step has a way on each of them.
    """
    from pyjobshop import Model  # noqa: PLC0415 only who races it needs it

    begin, model = time.monotonic(), Model()
    machines = [[model.add_machine() for _ in range(stations)] for stations in shop.pools]
    ways: list[list[list[Way]]] = []
    for steps in shop.jobs:
        ways.append([_add_step(model, machines, step) for step in steps])
    _add_orders(model, shop)
    result = model.solve(
        time_limit=seconds,
        display=False,
        num_workers=workers,
        random_seed=seed,
        catch_sigint_signal=False,
    )
    if result.best is None or not result.best.tasks:
        return None
    return time.monotonic() - begin, _schedule(result, model, ways), _bound(result)


def _bound(result: Any) -> int:
    return int(-(-(result.lower_bound - 1e-6) // 1))


def _add_step(model: Any, machines: list[list[Any]], step: tuple[Way, ...]) -> list[Way]:
    """A way of ours by each mode of its task, in their order."""
    task, own = model.add_task(), []
    for way in step:
        for machine in machines[way.pool]:
            model.add_mode(task, machine, way.ticks)
            own.append(way)
    return own


def _add_orders(model: Any, shop: Shop) -> None:
    task = 0
    for steps in shop.jobs:
        for _ in range(len(steps) - 1):
            model.add_end_before_start(model.tasks[task], model.tasks[task + 1])
            task += 1
        task += 1


def _schedule(result: Any, model: Any, ways: list[list[list[Way]]]) -> Schedule:
    tasks, first, schedule = iter(result.best.tasks), 0, []
    for steps in ways:
        placed = []
        for own in steps:
            task = next(tasks)
            placed.append(Placed(own[task.mode - first], int(task.start)))
            first += len(own)
        schedule.append(tuple(placed))
    return tuple(schedule)
