"""Rule 11 for dryers: none in use, from run start to the end of unloading, while it is down."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.clock import Span
from scheduler.domain.plan import Run
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading


def check(reading: Reading) -> Iterator[Fault]:
    """One fault for each run that meets an outage of its dryer."""
    for outage in reading.asked.happened.outages:
        for run in reading.in_dryer.get(outage.station_id, ()):
            used = _used(reading, run)
            if used.end > outage.stopped and (outage.back is None or used.start < outage.back):
                until = f"until {reading.say.at(outage.back)}" if outage.back else "for now"
                message = (
                    f"{run.dryer_id} is in use {reading.say.when(used)}, and down from "
                    f"{reading.say.at(outage.stopped)} {until}"
                )
                yield Fault(11, message, run.id)


def _used(reading: Reading, run: Run) -> Span:
    washed = run.wash_down if reading.rules.wash_downs else None
    ends = [run.released, *(span.end for span in (run.unload, washed) if span)]
    return Span(run.start, max(ends))
