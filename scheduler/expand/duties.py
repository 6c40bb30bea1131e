"""Who does what: names for the hands that a plan needs.

Exact, because hands may follow each other at a change of shift.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Duty, Work
from scheduler.errors import BrokenPromise


@dataclass(frozen=True, slots=True, order=True)
class Need:
    """One kitchen hand needed for a span."""

    span: Span
    work: Work
    station_id: str
    subject: str


@dataclass(frozen=True, slots=True)
class _OnShift:
    name: str
    spans: tuple[Span, ...]

    def covers(self, span: Span) -> bool:
        return any(shift.contains(span) for shift in self.spans)


def named(asked: Asked, needs: Iterable[Need]) -> tuple[Duty, ...]:
    """A hand on shift and free for every need; BrokenPromise if the plan needs more hands than
    there are."""
    hands = [
        _OnShift(hand.name, asked.kitchen.shifts(hand, asked.days)) for hand in asked.kitchen.hands
    ]
    changes = sorted({edge for hand in hands for s in hand.spans for edge in (s.start, s.end)})
    busy_until: dict[str, datetime] = {}
    duties: list[Duty] = []
    pieces = [piece for need in sorted(needs) for piece in _cut(need, changes)]
    for piece in sorted(pieces):
        free = [
            hand.name
            for hand in hands
            if hand.covers(piece.span)
            and busy_until.get(hand.name, piece.span.start) <= piece.span.start
        ]
        if not free:
            raise BrokenPromise(f"no hand is free for {piece.work} {piece.subject}")
        name = min(free, key=lambda each: (not _goes_on(duties, each, piece), _load(duties, each)))
        busy_until[name] = piece.span.end
        duties.append(Duty(name, piece.work, piece.station_id, piece.subject, piece.span))
    return tuple(duties)


def _cut(need: Need, changes: list[datetime]) -> Iterator[Need]:
    start = need.span.start
    for change in changes:
        if start < change < need.span.end:
            yield Need(Span(start, change), need.work, need.station_id, need.subject)
            start = change
    yield Need(Span(start, need.span.end), need.work, need.station_id, need.subject)


def _goes_on(duties: list[Duty], name: str, piece: Need) -> bool:
    """Whether that hand has just been at this very work."""
    return any(
        duty.who == name
        and duty.span.end == piece.span.start
        and (duty.work, duty.subject, duty.station_id)
        == (piece.work, piece.subject, piece.station_id)
        for duty in duties
    )


def _load(duties: list[Duty], name: str) -> int:
    return sum(duty.span.seconds for duty in duties if duty.who == name)
