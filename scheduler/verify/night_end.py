"""Rule 3: how a run ends, is released and unloaded, and that the week's runs end with the week."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta

from scheduler.domain.clock import Span, local_instant
from scheduler.domain.plan import Run
from scheduler.verify.fault import Fault
from scheduler.verify.hands_on import hands_on
from scheduler.verify.reading import Reading
from scheduler.verify.wording import lasting


def check(reading: Reading) -> Iterator[Fault]:
    """Release and unloading of each run, dryers that need someone by, and the week's end."""
    unattended = {dryer.id: dryer.runs_unattended for dryer in reading.asked.kitchen.dryers}
    for run in reading.plan.runs:
        yield from _release(reading, run)
        yield from _unloading(reading, run)
        if not unattended.get(run.dryer_id, True):
            yield from _attended(reading, run)
    yield from _week_end(reading)


def check_release(reading: Reading) -> Iterator[Fault]:
    """The easier reading: release only; an end at closing time counts as staffed."""
    for run in reading.plan.runs:
        yield from _release(reading, run)
    yield from _week_end(reading)


def _staffed_at(reading: Reading, instant: datetime) -> bool:
    if reading.rules.easier:
        return reading.staffed.contain(Span(instant, instant))
    return reading.staffed.hold(instant)


def _release(reading: Reading, run: Run) -> Iterator[Fault]:
    told = _misreleased(reading, run)
    if told:
        message = f"Run on {run.dryer_id} ends {reading.say.at(run.end)} {told}"
        yield Fault(3, message, run.id)


def _misreleased(reading: Reading, run: Run) -> str | None:
    at = reading.say.at
    if _staffed_at(reading, run.end):
        if run.released != run.end:
            return f"while staffed and is not released then but {at(run.released)}"
        return None
    most = reading.asked.kitchen.limits.cool_hold_most_s
    opening = reading.staffed.next_opening(run.end)
    if opening is None:
        return "unattended and no opening follows"
    if (opening - run.end).total_seconds() > most:
        return f"unattended, the next opening is {at(opening)}; cool hold lasts {lasting(most)}"
    if run.released != opening:
        return f"unattended; it is released {at(run.released)}, not at {at(opening)}"
    return None


def _unloading(reading: Reading, run: Run) -> Iterator[Fault]:
    if run.unload is None:
        yield Fault(3, f"Run on {run.dryer_id} is never unloaded", run.id)
        return
    within = reading.asked.kitchen.limits.unloaded_within_s
    if run.unload.start < run.released:
        told = "before its release"
    elif run.unload.end > run.released + timedelta(seconds=within):
        told = f"more than {lasting(within)} after its release"
    else:
        return
    when, release = reading.say.when(run.unload), reading.say.at(run.released)
    yield Fault(3, f"Run on {run.dryer_id} is unloaded {when}, {told} {release}", run.id)


def _attended(reading: Reading, run: Run) -> Iterator[Fault]:
    if not reading.staffed.contain(Span(run.start, run.end)):
        span = reading.say.when(Span(run.start, run.end))
        message = f"{run.dryer_id} may not run unattended, but does, {span}"
        yield Fault(3, message, run.id)


def _week_end(reading: Reading) -> Iterator[Fault]:
    monday = reading.asked.week.monday + timedelta(days=7)
    end = local_instant(monday, time(0), reading.say.zone)
    latest = {run.id: (run.released, run) for run in reading.plan.runs}
    for work in hands_on(reading.plan, reading.rules):
        if not work.after_week and work.span.end > latest[work.run.id][0]:
            latest[work.run.id] = (work.span.end, work.run)
    for instant, run in latest.values():
        if instant > end:
            message = (
                f"Run on {run.dryer_id} keeps the kitchen until {reading.say.at(instant)}; after "
                "the week only dry checks and packing are done"
            )
            yield Fault(3, message, run.id)
