"""Rule 12: the hands that each piece of work needs, over all of its span."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import groupby

from scheduler.domain.clock import Span
from scheduler.domain.plan import HANDS, Duty, Run, Work
from scheduler.verify.duties import duties_in_force
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Placed, Prepared, Reading
from scheduler.verify.sweep import Levels

_VERBS = {"unload": "unload", "wash-down": "wash down after"}


class _Roster:
    """Duties by work and subject."""

    def __init__(self, duties: tuple[Duty, ...]) -> None:
        self._duties: dict[tuple[str, str], list[Duty]] = defaultdict(list)
        for duty in duties:
            self._duties[duty.work, duty.subject].append(duty)

    def lacks(self, work: Work, subject: str, *, span: Span, people: int = 1, at: str = "") -> bool:
        """Whether fewer people than needed are on duty (at a station) at any moment of the span."""
        spans = [
            (duty.span, 1)
            for duty in self._duties.get((work, subject), ())
            if not at or duty.station_id == at
        ]
        if len(spans) == people == 1:
            return not spans[0][0].contains(span)
        return Levels(spans).first_below(people, span=span) is not None


def check(reading: Reading) -> Iterator[Fault]:
    """Unloading, wash-down, further tables, lone growers, steamers, dry checks."""
    roster = _Roster(duties_in_force(reading))
    for run in reading.plan.runs:
        yield from _at_dryer(reading, roster, run=run)
    for each in reading.prepared:
        yield from _at_tables(reading, roster, each=each)
        yield from _at_steamers(reading, roster, each=each)
    for placed in reading.placed if reading.rules.packing else ():
        yield from _at_dry_check(reading, roster, placed=placed)


def _at_dryer(reading: Reading, roster: _Roster, *, run: Run) -> Iterator[Fault]:
    wash_down = run.wash_down if reading.rules.wash_downs else None
    works: tuple[tuple[Work, Span | None], ...] = (("unload", run.unload), ("wash-down", wash_down))
    for work, span in works:
        if span and roster.lacks(work, run.id, span=span):
            when = reading.say.when(span)
            message = f"Run on {run.dryer_id} has nobody on duty to {_VERBS[work]} it, {when}"
            yield Fault(12, message, run.id)


def _at_tables(reading: Reading, roster: _Roster, *, each: Prepared) -> Iterator[Fault]:
    placed, how = each.placed, each.how
    for place in how.tables:
        if place.crew == HANDS and roster.lacks(
            "cut", placed.code, span=how.cut, people=2, at=place.table_id
        ):
            when = reading.say.when(how.cut)
            yield placed.fault(12, f"lacks its two kitchen hands at {place.table_id}, {when}")
    if placed.grower.people == 1:
        for what, span in (("washing", how.wash), ("cutting", how.cut)):
            if roster.lacks("help", placed.code, span=span):
                when = reading.say.when(span)
                yield placed.fault(12, f"has no hand to help its lone grower with {what}, {when}")


def _at_steamers(reading: Reading, roster: _Roster, *, each: Prepared) -> Iterator[Fault]:
    by_steamer = sorted(each.loads, key=lambda load: load.steamer_id)
    for steamer_id, loads in groupby(by_steamer, key=lambda load: load.steamer_id):
        spans = [Span(load.start, load.end) for load in loads]
        span = Span(min(one.start for one in spans), max(one.end for one in spans))
        if roster.lacks("steam", each.placed.code, span=span, at=steamer_id):
            when = reading.say.when(span)
            yield each.placed.fault(12, f"has nobody to attend {steamer_id} all of {when}")


def _at_dry_check(reading: Reading, roster: _Roster, *, placed: Placed) -> Iterator[Fault]:
    after = placed.charge.after
    if after and roster.lacks("dry check", placed.code, span=after.dry_check):
        when = reading.say.when(after.dry_check)
        yield placed.fault(12, f"has nobody on duty for its dry check, {when}")
