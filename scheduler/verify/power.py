"""Rule 13: the mean draw of every quarter-hour by the clock stays within the supply."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from scheduler.domain.clock import Span
from scheduler.domain.kitchen import Dryer
from scheduler.units import MINUTE
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.started import as_part_lot, stop_of

_QUARTER_S = 15 * MINUTE
_PERCENT = 100
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def check(reading: Reading) -> Iterator[Fault]:
    """One fault for each unbroken stretch of quarter-hours over the limit."""
    supply = reading.asked.kitchen.limits.supply_watts
    drawn = _drawn(reading)
    over = sorted(quarter for quarter, watts in drawn.items() if watts > supply * _PERCENT)
    while over:
        stretch = 1
        while stretch < len(over) and over[stretch] == over[0] + stretch:
            stretch += 1
        most = max(drawn[quarter] for quarter in over[:stretch]) / _PERCENT / 1000
        span = Span(_instant(over[0]), _instant(over[0] + stretch))
        yield Fault(
            13, f"{most:.2f} kW of {supply / 1000:g} kW are drawn, {reading.say.when(span)}"
        )
        over = over[stretch:]


def _instant(quarter: int) -> datetime:
    return _EPOCH + timedelta(seconds=quarter * _QUARTER_S)


def _drawn(reading: Reading) -> dict[int, float]:
    """Mean draw by quarter-hour, in hundredths of a watt."""
    steps: dict[int, int] = defaultdict(int)  # hundredths of a watt that come or go at a second
    for span, centiwatts in _draws(reading):
        if span.start < span.end:
            steps[_second(span.start)] += centiwatts
            steps[_second(span.end)] -= centiwatts
    work: dict[int, int] = defaultdict(int)
    level, since = 0, 0
    for second in sorted(steps):
        if level:
            _spread(work, level, since=since, until=second)
        level, since = level + steps[second], second
    return {quarter: amount / _QUARTER_S for quarter, amount in work.items()}


def _spread(work: dict[int, int], level: int, *, since: int, until: int) -> None:
    while since < until:
        quarter = since // _QUARTER_S
        stop = min(until, (quarter + 1) * _QUARTER_S)
        work[quarter] += level * (stop - since)
        since = stop


def _second(instant: datetime) -> int:
    return int((instant - _EPOCH).total_seconds())


def _draws(reading: Reading) -> Iterator[tuple[Span, int]]:
    dryers = {dryer.id: dryer for dryer in reading.asked.kitchen.dryers}
    drying = [(run.dryer_id, run.start, run.end) for run in reading.plan.runs]
    started = reading.asked.happened.runs
    drying += [(run.dryer_id, run.start, stop_of(reading, run)) for run in started]
    begun = {as_part_lot(reading, run) for run in started}
    drying += {
        (run.dryer_id, run.start, stop_of(reading, run))
        for part in reading.plan.part_lots
        if (run := part.dries_on) is not None and run not in begun
    }
    for dryer_id, start, end in drying:
        if dryer_id in dryers:
            yield from _of_run(dryers[dryer_id], Span(start, end))
    for each in reading.prepared:
        for load in each.loads:
            steamer = reading.steamers.get(load.steamer_id)
            if steamer:
                yield Span(load.start, load.end), steamer.watts * _PERCENT


def _of_run(dryer: Dryer, drying: Span) -> Iterator[tuple[Span, int]]:
    """Full draw for the first hours, then a share of it; nothing in cool hold."""
    turn = min(drying.end, drying.start + timedelta(seconds=dryer.full_draw_s))
    yield Span(drying.start, turn), dryer.watts * _PERCENT
    yield Span(turn, drying.end), dryer.watts * dryer.later_draw_percent
