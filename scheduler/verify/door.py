"""Rule 4: no work before a lot is at the door, no run after its latest start."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from scheduler.process.work import seconds_for
from scheduler.units import MINUTE
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Placed, Reading

_STEAMED_S = 30 * MINUTE  # the easier rules' allowance for steaming a lot


def check(reading: Reading) -> Iterator[Fault]:
    """Washing after arrival; run start at or before the latest start."""
    for each in reading.prepared:
        if each.how.wash.start < each.placed.note.arrives:
            washed = reading.say.at(each.how.wash.start)
            arrives = reading.say.at(each.placed.note.arrives)
            yield each.placed.fault(4, f"is washed {washed}, before it arrives {arrives}")
    yield from _latest_start(reading)


def check_ready(reading: Reading) -> Iterator[Fault]:
    """The easier reading: all of the lot could be cut (and steamed) by the run's start."""
    for placed in reading.placed:
        ready = placed.note.arrives + timedelta(seconds=_ready_after_s(placed))
        if placed.run.start < ready:
            start, when = reading.say.at(placed.run.start), reading.say.at(ready)
            yield placed.fault(4, f"starts {start}, before all of the lot can be ready {when}")
    yield from _latest_start(reading)


def _ready_after_s(placed: Placed) -> int:
    cutting_s = seconds_for(placed.note.field_g, placed.card.pair_g_per_h)
    return cutting_s + (_STEAMED_S if placed.card.steam_s else 0)


def _latest_start(reading: Reading) -> Iterator[Fault]:
    for placed in reading.placed:
        if placed.run.start > placed.note.latest_start:
            start = reading.say.at(placed.run.start)
            latest = reading.say.at(placed.note.latest_start)
            yield placed.fault(4, f"starts {start}, after its latest start {latest}")
