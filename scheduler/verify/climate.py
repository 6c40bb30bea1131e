"""Rule 6: charges in a run share a set point, a group and the hours of the longest."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import timedelta

from scheduler.domain.kitchen import Dryer
from scheduler.domain.plan import Run
from scheduler.units import up_to_grid
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.wording import lasting

_HAIR = 1e-9  # degrees; set points are written in tenths


def check(reading: Reading) -> Iterator[Fault]:
    """Set point, group, hours and single charges of every run in a known dryer."""
    for dryer in reading.asked.kitchen.dryers:
        for run in reading.in_dryer[dryer.id]:
            yield from _set_point(reading, run, dryer=dryer)
            yield from _group(reading, run, dryer=dryer)
            yield from _hours(reading, run)
            yield from _once(run)


def _set_point(reading: Reading, run: Run, *, dryer: Dryer) -> Iterator[Fault]:
    heat = reading.say.heat
    if not dryer.coolest_c <= run.set_point_c <= dryer.hottest_c:
        message = f"Run on {dryer.id} is set to {heat(run.set_point_c)}, outside its range"
        yield Fault(6, message, run.id)
        return
    for placed in reading.in_run.get(run.id, ()):
        tolerance = 0 if reading.rules.easier else placed.card.tolerance_c
        if abs(run.set_point_c - placed.card.set_point_c) > tolerance + _HAIR:
            within = reading.say.degrees(tolerance)
            wants = f"{heat(placed.card.set_point_c)} within {within}"
            yield placed.fault(6, f"dries at {heat(run.set_point_c)}; its card asks {wants}")


def _group(reading: Reading, run: Run, *, dryer: Dryer) -> Iterator[Fault]:
    groups = reading.groups(run)
    if len(groups) > 1:
        message = f"Run on {dryer.id} mixes the groups {', '.join(sorted(groups))}"
        yield Fault(6, message, run.id)
    for group in sorted(groups - dryer.groups):
        yield Fault(6, f"{dryer.id} does not take the group {group}", run.id)


def _hours(reading: Reading, run: Run) -> Iterator[Fault]:
    if not run.charges:
        yield Fault(6, f"Run on {run.dryer_id} holds nothing", run.id)
        return
    longest = max((each.card.drying_s for each in reading.in_run.get(run.id, ())), default=None)
    if longest is not None and run.end - run.start != timedelta(seconds=up_to_grid(longest)):
        dries = lasting(max(0, (run.end - run.start).total_seconds()))
        message = f"Run on {run.dryer_id} dries {dries}; its longest charge asks {lasting(longest)}"
        yield Fault(6, message, run.id)


def _once(run: Run) -> Iterator[Fault]:
    for note_id, times in Counter(charge.note_id for charge in run.charges).items():
        if times > 1:
            yield Fault(6, f"{note_id} has {times} charges in one run", run.id)
