"""One race: everybody on the same instance, one after the other, each judged by the referee."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass
from typing import Any

from scheduler.errors import BrokenPromise
from scheduler.races import peers
from scheduler.races.published import Known
from scheduler.shops import dispatch, oven_dispatch, oven_referee, referee
from scheduler.shops.chain import Schedule, Shop, length
from scheduler.shops.ovens import Loads, Ovens

OURS, DISPATCHER, ONE_MODEL, PYJOBSHOP = "ours", "dispatcher", "one model", "PyJobShop"


@dataclass(frozen=True, slots=True)
class Effort:
    """What each runner has."""

    seconds: float
    workers: int = 2
    seed: int = 1


@dataclass(frozen=True, slots=True)
class Entry:
    """What one runner came to. value: ticks, or the published figure of ovens; None: nothing.

    bound: no schedule is better. seconds: until the last improvement.
    """

    who: str
    value: float | None
    bound: float | None
    seconds: float
    first_s: float
    wall_s: float
    faults: tuple[str, ...] = ()

    @property
    def proven(self) -> bool:
        return self.value is not None and self.bound is not None and self.value <= self.bound


@dataclass(frozen=True, slots=True)
class Race:
    """Everybody on one instance. best: known from others, where it is."""

    instance: str
    size: str
    best: float | None
    entries: tuple[Entry, ...]

    def over(self, entry: Entry) -> float | None:
        """How much above the best known; below 0 where it is beaten."""
        if not self.best or entry.value is None:
            return None
        return entry.value / self.best - 1


def races(cases: Iterable[Known], effort: Effort) -> Iterator[Race]:
    """Race by race; with PyJobShop on shops where it is installed."""
    for known in cases:
        instance = known.instance
        if isinstance(instance, Ovens):
            size = f"{len(instance.jobs)} jobs, {len(instance.ovens)} ovens"
            runners = _oven_runners(instance, effort)
        else:
            size = f"{len(instance.jobs)} jobs, {sum(instance.pools)} stations"
            runners = _shop_runners(instance, effort)
        yield Race(instance.name, size, known.best, tuple(run() for run in runners))


def _shop_runners(shop: Shop, effort: Effort) -> list[Callable[[], Entry]]:
    found: list[Callable[[], Entry]] = [
        lambda: _ours(shop, effort),
        lambda: _dispatched(shop),
        lambda: _one_model(shop, effort),
    ]
    if peers.installed():
        found.append(lambda: _pyjobshop(shop, effort))
    return found


def _judged(shop: Shop, schedule: Schedule, **told: Any) -> Entry:
    return Entry(value=length(schedule), faults=referee.faults(shop, schedule), **told)


def _nothing(who: str, begin: float) -> Entry:
    wall = time.monotonic() - begin
    return Entry(who, None, None, wall, wall, wall)


def _ours(shop: Shop, effort: Effort) -> Entry:
    from scheduler.model.shops.large import searched  # noqa: PLC0415 loads the solver

    begin = time.monotonic()
    found = searched(shop, **asdict(effort))
    return _judged(
        shop,
        found.schedule,
        who=OURS,
        bound=found.bound,
        seconds=found.heard[-1][0],
        first_s=found.heard[0][0],
        wall_s=time.monotonic() - begin,
    )


def _dispatched(shop: Shop) -> Entry:
    begin = time.monotonic()
    schedule = dispatch.dispatched(shop)
    wall = time.monotonic() - begin
    return _judged(
        shop, schedule, who=DISPATCHER, bound=None, seconds=wall, first_s=wall, wall_s=wall
    )


def _one_model(shop: Shop, effort: Effort) -> Entry:
    from scheduler.model.shops.large import in_one_model  # noqa: PLC0415 loads the solver

    begin = time.monotonic()
    found = in_one_model(shop, **asdict(effort))
    if found is None:
        return _nothing(ONE_MODEL, begin)
    wall = time.monotonic() - begin
    return _judged(
        shop,
        found.schedule,
        who=ONE_MODEL,
        bound=found.bound,
        seconds=wall,
        first_s=found.heard[0][0],
        wall_s=wall,
    )


def _pyjobshop(shop: Shop, effort: Effort) -> Entry:
    begin = time.monotonic()
    found = peers.by_pyjobshop(shop, **asdict(effort))
    if found is None:
        return _nothing(PYJOBSHOP, begin)
    wall, schedule, bound = found
    return _judged(
        shop, schedule, who=PYJOBSHOP, bound=bound, seconds=wall, first_s=wall, wall_s=wall
    )


def _oven_runners(ovens: Ovens, effort: Effort) -> list[Callable[[], Entry]]:
    return [
        lambda: _our_ovens(ovens, effort),
        lambda: _dispatched_ovens(ovens),
        lambda: _one_oven_model(ovens, effort),
    ]


def _judged_ovens(ovens: Ovens, loads: Loads, bound: float | None, **told: Any) -> Entry:
    scale = ovens.weights.scale
    return Entry(
        value=oven_referee.judged_cost(ovens, loads) / scale,
        bound=None if bound is None else bound / scale,
        faults=oven_referee.faults(ovens, loads),
        **told,
    )


def _our_ovens(ovens: Ovens, effort: Effort) -> Entry:
    from scheduler.model.shops.oven_search import filled  # noqa: PLC0415 loads the solver

    begin = time.monotonic()
    found = filled(ovens, **asdict(effort))
    if found is None:
        return _nothing(OURS, begin)
    return _judged_ovens(
        ovens,
        found.loads,
        found.bound,
        who=OURS,
        seconds=found.heard[-1][0],
        first_s=found.heard[0][0],
        wall_s=time.monotonic() - begin,
    )


def _dispatched_ovens(ovens: Ovens) -> Entry:
    begin = time.monotonic()
    try:
        loads = oven_dispatch.dispatched(ovens)
    except BrokenPromise:
        return _nothing(DISPATCHER, begin)
    wall = time.monotonic() - begin
    return _judged_ovens(
        ovens, loads, None, who=DISPATCHER, seconds=wall, first_s=wall, wall_s=wall
    )


def _one_oven_model(ovens: Ovens, effort: Effort) -> Entry:
    from scheduler.model.shops.oven_search import in_one_model  # noqa: PLC0415 loads the solver

    begin = time.monotonic()
    found = in_one_model(ovens, **asdict(effort))
    if found is None:
        return _nothing(ONE_MODEL, begin)
    wall = time.monotonic() - begin
    return _judged_ovens(
        ovens, found.loads, found.bound, who=ONE_MODEL, seconds=wall, first_s=wall, wall_s=wall
    )


def race_json(race: Race) -> dict[str, Any]:
    """JSON values; over: shares of one above the best known."""
    return {
        "instance": race.instance,
        "size": race.size,
        "best_known": race.best,
        "entries": [
            asdict(entry) | {"proven": entry.proven, "over_best": race.over(entry)}
            for entry in race.entries
        ],
    }
