"""When a grower is in the kitchen for a charge before it dries, day by day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from zoneinfo import ZoneInfo

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Duty, Plan, Run


def stays(asked: Asked, plan: Plan, run: Run, charge: Charge) -> list[Span]:
    """Her own work on a charge of a run: washing, cutting, and attending a steamer where she does;
    a span for each day. Where nothing before the dryer is laid out, from the arrival to the start
    of the run."""
    made = charge.preparation
    if made is None:
        return [Span(asked.note(charge.note_id).arrives, run.start)]
    attends = (duty.span for duty in attending(asked, plan, charge))
    return by_day([made.wash, made.cut, *attends], asked.kitchen.zone)


def attending(asked: Asked, plan: Plan, charge: Charge) -> Iterator[Duty]:
    """When the grower's own pair attends a steamer for that charge."""
    wanted = ("steam", charge.code, asked.note(charge.note_id).grower_id)
    return (duty for duty in plan.duties if (duty.work, duty.subject, duty.who) == wanted)


def by_day(spans: Iterable[Span], zone: ZoneInfo) -> list[Span]:
    """One span for each day by that clock on which any of them starts, in order."""
    days: dict[date, list[Span]] = {}
    for span in sorted(spans):
        days.setdefault(span.start.astimezone(zone).date(), []).append(span)
    return [Span(own[0].start, max(each.end for each in own)) for own in days.values()]
