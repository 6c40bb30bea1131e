"""What else is in use beside the dryers: steamers, tables, hands, and power by quarter-hours."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Literal

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan, Run
from scheduler.started import all_runs
from scheduler.units import GRID, MINUTE

MARK = timedelta(seconds=GRID)
QUARTER = timedelta(seconds=15 * MINUTE)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_PERCENT = 100


@dataclass(frozen=True, slots=True)
class Use:
    """A charge at a station; steam loads of one charge with less than five minutes between them are
    one use. seconds: in which the station is really taken."""

    span: Span
    seconds: int
    code: str
    note_id: str


@dataclass(frozen=True, slots=True)
class StationUse:
    station_id: str
    name: str
    kind: Literal["steamer", "table"]
    uses: tuple[Use, ...]  # in order of start


@dataclass(frozen=True, slots=True)
class Step:
    """So many of something (people, watts) all through that span."""

    span: Span
    amount: float


def stations_in_use(asked: Asked, plan: Plan) -> tuple[StationUse, ...]:
    """Every steamer and every table of the kitchen, used or not."""
    found: dict[str, list[Use]] = defaultdict(list)
    for _, charge in plan.charges():
        made = charge.preparation
        if made is None:
            continue
        for place in made.tables:
            found[place.table_id].append(
                Use(made.cut, made.cut.seconds, charge.code, charge.note_id)
            )
        for load in made.steam_loads:
            span = Span(load.start, load.end)
            use = Use(span, span.seconds, charge.code, charge.note_id)
            found[load.steamer_id].append(use)
    kitchen = asked.kitchen
    return (
        *(StationUse(each.id, each.name, "steamer", tuple(_joined(found[each.id])))
          for each in kitchen.steamers),
        *(StationUse(each.id, each.name, "table", tuple(_joined(found[each.id])))
          for each in kitchen.tables),
    )  # fmt: skip


def _joined(uses: Iterable[Use]) -> Iterator[Use]:
    """Uses of one charge that follow each other within a mark of the grid, as one."""
    last: Use | None = None
    for use in sorted(uses, key=lambda each: each.span):
        if last and last.code == use.code and use.span.start - last.span.end < MARK:
            span = Span(last.span.start, max(last.span.end, use.span.end))
            last = replace(last, span=span, seconds=last.seconds + use.seconds)
            continue
        if last:
            yield last
        last = use
    if last:
        yield last


def hands_at_work(asked: Asked, plan: Plan) -> tuple[Step, ...]:
    """How many kitchen hands have a duty, at every moment at which one has."""
    hands = {hand.name for hand in asked.kitchen.hands}
    return steps((duty.span, 1) for duty in plan.duties if duty.who in hands)


def hands_on_shift(asked: Asked) -> tuple[Step, ...]:
    """How many are on shift, in the week and on the Monday after."""
    kitchen = asked.kitchen
    spans = (span for hand in kitchen.hands for span in kitchen.shifts(hand, asked.days))
    return steps((span, 1) for span in spans)


def steps(amounts: Iterable[tuple[Span, int]]) -> tuple[Step, ...]:
    """What amounts that come and go add up to; where there is nothing there is no step."""
    changes: dict[datetime, int] = defaultdict(int)
    for span, amount in amounts:
        changes[span.start] += amount
        changes[span.end] -= amount
    marks = sorted(at for at, change in changes.items() if change)
    found, level = [], 0
    for at, until in pairwise(marks):
        level += changes[at]
        if level:
            found.append(Step(Span(at, until), level))
    return tuple(found)


def power_drawn(asked: Asked, plan: Plan) -> tuple[Step, ...]:
    """The mean draw in watts of every quarter-hour by the clock in which anything is drawn.

    As rule 13 reads it: dryers in full from the start of a run, then a share of it, nothing in
    cool hold; a steamer from a load's start to its end.
    """
    work: dict[int, float] = defaultdict(float)  # watt-seconds by quarter-hour since 1970
    for span, watts in _draws(asked, plan):
        for number in range((span.start - _EPOCH) // QUARTER, -((_EPOCH - span.end) // QUARTER)):
            start = max(span.start, _EPOCH + number * QUARTER)
            end = min(span.end, _EPOCH + (number + 1) * QUARTER)
            work[number] += watts * (end - start).total_seconds()
    return tuple(
        Step(Span(_EPOCH + each * QUARTER, _EPOCH + (each + 1) * QUARTER),
             work[each] / QUARTER.total_seconds())
        for each in sorted(work)
    )  # fmt: skip


def _draws(asked: Asked, plan: Plan) -> Iterator[tuple[Span, float]]:
    for run in all_runs(asked, plan):
        yield from _of_run(asked, run)
    watts = {each.id: each.watts for each in asked.kitchen.steamers}
    for _, charge in plan.charges():
        for load in charge.preparation.steam_loads if charge.preparation else ():
            yield Span(load.start, load.end), watts[load.steamer_id]


def _of_run(asked: Asked, run: Run) -> Iterator[tuple[Span, float]]:
    dryer = asked.kitchen.dryer(run.dryer_id)
    turn = min(run.end, run.start + timedelta(seconds=dryer.full_draw_s))
    yield Span(run.start, turn), dryer.watts
    yield Span(turn, run.end), dryer.watts * dryer.later_draw_percent / _PERCENT
