"""Rule 1: what the plan decides starts and ends on five-minute marks of the kitchen's clock."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from scheduler.units import GRID, MINUTE
from scheduler.verify.fault import Fault
from scheduler.verify.hands_on import hands_on
from scheduler.verify.reading import Reading


def check(reading: Reading) -> Iterator[Fault]:
    """One fault for each piece of work off the grid or ending before it starts."""
    for work in hands_on(reading.plan, reading.rules):
        if work.span.end < work.span.start:
            message = f"{work.name} ends before it starts, {reading.say.when(work.span)}"
            yield Fault(1, message, work.run.id, work.code)
        elif work.on_grid:
            for instant in dict.fromkeys((work.span.start, work.span.end)):
                if _off(instant, reading.say.zone):
                    message = f"{work.name}, {reading.say.at(instant)}, is off the five-minute grid"
                    yield Fault(1, message, work.run.id, work.code)
    for run in reading.plan.runs:
        if _off(run.end, reading.say.zone):
            message = (
                f"Run on {run.dryer_id} ends {reading.say.at(run.end)}, off the five-minute grid"
            )
            yield Fault(1, message, run.id)


def _off(instant: datetime, zone: ZoneInfo) -> bool:
    local = instant.astimezone(zone)
    return bool((local.minute * MINUTE + local.second) % GRID)
