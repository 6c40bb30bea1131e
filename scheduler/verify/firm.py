"""Rule 18: what has started is never moved, and nothing is planned into the past."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from scheduler.domain.plan import Run
from scheduler.verify.fault import Fault
from scheduler.verify.hands_on import HandsOn, hands_on
from scheduler.verify.promised import as_promised
from scheduler.verify.reading import Reading
from scheduler.verify.started import release_of, started_in


def check(reading: Reading) -> Iterator[Fault]:
    """Now, dryers with a started run, and notes that have had their place."""
    if reading.asked.happened.now:
        yield from _past(reading, reading.asked.happened.now)
    for dryer_id, runs in reading.in_dryer.items():
        for started in started_in(reading, dryer_id):
            free = release_of(reading, started)
            for run in runs:
                if run.start < free and not _under_way(reading, run):
                    message = (
                        f"Run on {dryer_id} starts {reading.say.at(run.start)}; a run that has "
                        f"started keeps it until {reading.say.at(free)}"
                    )
                    yield Fault(18, message, run.id)
    yield from _placed_before(reading)


def _past(reading: Reading, now: datetime) -> Iterator[Fault]:
    first: dict[tuple[str, str | None], HandsOn] = {}
    for work in hands_on(reading.plan, reading.rules):
        if as_promised(reading, work.run, work.charge):
            continue  # it goes on as it was promised
        key = (work.run.id, work.code)
        if key not in first or work.span.start < first[key].span.start:
            first[key] = work
    for work in first.values():
        if work.span.start < now:
            starts = reading.say.at(work.span.start)
            message = f"{work.name} begins {starts}, before now, {reading.say.at(now)}"
            yield Fault(18, message, work.run.id, work.code)


def _under_way(reading: Reading, run: Run) -> bool:
    now = reading.asked.happened.now
    return now is not None and run.start < now and as_promised(reading, run, None)


def _placed_before(reading: Reading) -> Iterator[Fault]:
    had = {charge.note_id for run in reading.asked.happened.runs for charge in run.charges}
    for run, charge in reading.plan.charges():
        if charge.note_id in had:
            message = f"{charge.code} is given a place; its note is in a run that has started"
            yield Fault(18, message, run.id, charge.code)
