"""Rule 7: a run starts when its last rack is in, and no charge waits for it too long."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.verify.fault import Fault
from scheduler.verify.reading import Prepared, Reading
from scheduler.verify.wording import lasting


def check(reading: Reading) -> Iterator[Fault]:
    """Last rack before run start; where waits are in force, not long before."""
    most = reading.asked.kitchen.limits.filled_to_start_s
    for each in reading.prepared:
        wait = (each.placed.run.start - each.how.last_rack).total_seconds()
        if wait < 0:
            yield each.placed.fault(7, f"comes too late: {_times(reading, each)}")
        elif wait > most and reading.rules.waits:
            told = f"waits too long: {_times(reading, each)}; {lasting(most)} at most"
            yield each.placed.fault(7, told)


def _times(reading: Reading, each: Prepared) -> str:
    filled, start = reading.say.at(each.how.last_rack), reading.say.at(each.placed.run.start)
    return f"its last rack is in {filled}, its run starts {start}"
