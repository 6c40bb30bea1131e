"""The clock of exposure of racks that left control: as written down, or as planned (rule 19)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from scheduler.domain.part_lot import PartLot
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.units import Seconds

Mark = Literal["in control", "warm", "found warm"]


@dataclass(frozen=True, slots=True)
class Marked:
    """At that instant the racks came under control (cold, or drying again), left it, or were found
    warm where they were thought cold."""

    at: datetime
    mark: Mark


@dataclass(frozen=True, slots=True)
class ExposureClock:
    """exposed_s: all time between 5 and 57 C so far, never reset. runs: it goes on. ask_by: when it
    comes to the limit, if nothing changes; None while it stands still below it."""

    exposed_s: Seconds
    runs: bool
    ask_by: datetime | None

    @property
    def over(self) -> bool:
        return self.exposed_s >= MOST_EXPOSED


def clock_of(
    stopped: datetime, stood_s: Seconds, marks: Iterable[Marked], at: datetime
) -> ExposureClock:
    """The clock at an instant. stood_s: counted from before the stop.

    Found warm: nobody knows since when, so all time since the stop counts. Source: rule 19.
    """
    warm, since = timedelta(seconds=stood_s), stopped
    cold = timedelta()  # that will count after all, if they are found warm
    runs = True
    for each in sorted(marks, key=lambda each: each.at):
        if each.at > at:
            break
        passed, since = each.at - since, each.at
        warm, cold = (warm + passed, cold) if runs else (warm, cold + passed)
        if each.mark == "found warm":
            warm, cold = warm + cold, timedelta()
        runs = each.mark != "in control"
    warm += at - since if runs else timedelta()
    exposed = Seconds(max(0, int(warm.total_seconds())))
    left = timedelta(seconds=MOST_EXPOSED - exposed)
    return ExposureClock(exposed, runs, at + left if runs else None)


def part_clock(part: PartLot, at: datetime) -> ExposureClock:
    """That of a part-lot which goes the way that is planned for it."""
    return clock_of(part.stopped, Seconds(part.stood + part.again_s), _planned(part), at)


def _planned(part: PartLot) -> Iterator[Marked]:
    if part.held:
        yield Marked(part.held.since, "in control")
        if part.held.until:
            yield Marked(part.held.until, "warm")
    if part.dries_on:
        yield Marked(part.dries_on.start, "in control")
