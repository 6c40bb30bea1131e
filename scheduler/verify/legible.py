"""Whether a plan can be read at all: its week, and instants that arithmetic can be done on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.verify.fault import Fault

_AROUND = timedelta(days=60)  # any further off is a slip of the pen, whatever the rules say


def check(asked: Asked, plan: Plan) -> Iterator[Fault]:
    """Rule 1: the week that was asked for, told in UTC, in whole seconds."""
    if plan.week != asked.week:
        yield Fault(1, f"The plan is for {plan.week}, asked for was {asked.week}")
    monday = datetime.combine(asked.week.monday, time(0), tzinfo=UTC)
    for run, instants in _instants(plan):
        unfit = [each for each in instants if not _fit(each, monday)]
        if unfit:
            where = f"Run on {run.dryer_id}" if run else "Duties and part-lots"
            message = f"{where}: {unfit[0]} is no time near the week in UTC and whole seconds"
            yield Fault(1, message, run.id if run else None)


def _fit(instant: datetime, monday: datetime) -> bool:
    in_utc = instant.utcoffset() == timedelta(0)
    return in_utc and not instant.microsecond and abs(instant - monday) <= _AROUND


def _instants(plan: Plan) -> Iterator[tuple[Run | None, list[datetime]]]:
    for run in plan.runs:
        instants = [run.start, run.end, run.released]
        for span in (run.unload, run.wash_down):
            instants += (span.start, span.end) if span else ()
        for charge in run.charges:
            instants += _of_charge(charge)
        yield run, instants
    yield None, [each for duty in plan.duties for each in (duty.span.start, duty.span.end)]
    yield None, [each for part in plan.part_lots for each in _of_part(part)]


def _of_part(part: PartLot) -> Iterator[datetime]:
    yield part.stopped
    if part.held:
        yield part.held.since
        yield part.held.until or part.held.since
    if part.dries_on:
        yield from (part.dries_on.start, part.dries_on.end)
    if part.discarded:
        yield part.discarded.at


def _of_charge(charge: Charge) -> Iterator[datetime]:
    if before := charge.preparation:
        yield from (before.wash.start, before.wash.end, before.cut.start, before.cut.end)
        for load in before.steam_loads:
            yield from (load.start, load.steamed, load.end, load.chilled)
        yield before.last_rack
    if after := charge.after:
        yield from (after.dry_check.start, after.dry_check.end)
        yield from (after.packing.start, after.packing.end)
