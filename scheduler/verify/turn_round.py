"""Rule 8 at the dryers: turn-round and wash-down between one run and the next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.kitchen import Dryer
from scheduler.domain.plan import Run
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.started import release_of, started_groups, started_in
from scheduler.verify.wording import lasting


@dataclass(frozen=True, slots=True)
class _Emptied:
    """A run seen from the next one: from when its turn-round counts, and what it held."""

    since: datetime
    groups: frozenset[str]
    run: Run | None = None  # None for a run that had started before the plan


def check(reading: Reading) -> Iterator[Fault]:
    """The length of unloadings and wash-downs, and the staffed minutes before each next start."""
    for dryer in reading.asked.kitchen.dryers:
        runs = reading.in_dryer[dryer.id]
        if not reading.rules.easier:
            for run in runs:
                yield from _lengths(reading, run, dryer=dryer)
        started = [_started(reading, dryer)] if any(started_in(reading, dryer.id)) else []
        before = [*started, *(_emptied(reading, run) for run in runs)]
        for one, later in zip(before, runs[1 - len(started) :], strict=False):
            yield from _gap(reading, one, later=later, dryer=dryer)


def _emptied(reading: Reading, run: Run) -> _Emptied:
    unload = None if reading.rules.easier else run.unload
    since = unload.start if unload else run.released
    return _Emptied(since, frozenset(reading.groups(run)), run)


def _started(reading: Reading, dryer: Dryer) -> _Emptied:
    last = max(started_in(reading, dryer.id), key=lambda run: run.end)
    return _Emptied(release_of(reading, last), started_groups(reading, last))


def _lengths(reading: Reading, run: Run, *, dryer: Dryer) -> Iterator[Fault]:
    if run.unload and 0 <= run.unload.seconds < dryer.unload_s:
        needs, has = lasting(dryer.unload_s), lasting(run.unload.seconds)
        yield Fault(8, f"Unloading {dryer.id} takes {needs}, planned is {has}", run.id)
    if run.wash_down is None or not reading.rules.wash_downs:
        return
    if 0 <= run.wash_down.seconds < dryer.wash_down_s:
        needs, has = lasting(dryer.wash_down_s), lasting(run.wash_down.seconds)
        yield Fault(8, f"Washing down {dryer.id} takes {needs}, planned is {has}", run.id)
    if run.unload and run.wash_down.start < run.unload.end:
        starts = reading.say.at(run.wash_down.start)
        yield Fault(8, f"{dryer.id} is washed down {starts}, before it is unloaded", run.id)


def _gap(reading: Reading, one: _Emptied, *, later: Run, dryer: Dryer) -> Iterator[Fault]:
    if one.run is None and later.start < one.since and not reading.rules.easier:
        return  # rule 18 tells
    washed = reading.rules.wash_downs and _asks_wash_down(reading, one.groups, later=later)
    needs = dryer.turn_round_s + (dryer.wash_down_s if washed else 0)
    has = reading.staffed.seconds(one.since, later.start)
    if has < needs:
        what = "turn-round and wash-down" if washed else "turn-round"
        message = (
            f"{dryer.id} needs {lasting(needs)} of staffed time for {what} before its run of "
            f"{reading.say.at(later.start)}; there are {lasting(has)}"
        )
        yield Fault(8, message, later.id)
    elif one.run and washed and one.run.wash_down is None:
        starts = reading.say.at(later.start)
        yield Fault(8, f"{dryer.id} is not washed down before its run of {starts}", later.id)
    elif one.run and one.run.wash_down and reading.rules.wash_downs:
        yield from _around_wash_down(reading, one.run, later=later, dryer=dryer)


def _asks_wash_down(reading: Reading, groups: frozenset[str], *, later: Run) -> bool:
    next_groups = reading.groups(later)
    known = (group for group in reading.asked.kitchen.groups if group.id in groups)
    return any(group.wash_down_before & next_groups for group in known)


def _around_wash_down(reading: Reading, run: Run, *, later: Run, dryer: Dryer) -> Iterator[Fault]:
    if run.wash_down is None or run.unload is None:
        return
    starts = reading.say.at(later.start)
    left = reading.staffed.seconds(run.unload.end, later.start) - run.wash_down.seconds
    needs = dryer.turn_round_s - dryer.unload_s
    if run.wash_down.end > later.start:
        message = f"{dryer.id} is still being washed down at the start of its run of {starts}"
        yield Fault(8, message, later.id)
    elif left < needs:
        message = (
            f"Beside unloading and wash-down {dryer.id} needs {lasting(needs)} of staffed time "
            f"before its run of {starts}; there are {lasting(max(0, left))}"
        )
        yield Fault(8, message, later.id)
