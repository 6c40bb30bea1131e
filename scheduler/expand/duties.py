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

    elsewhere: tuple[Span, ...] = ()

    def covers(self, span: Span) -> bool:
        return any(shift.contains(span) for shift in self.spans) and not any(
            busy.overlaps(span) for busy in self.elsewhere
        )


def named(
    asked: Asked, needs: Iterable[Need], *, beside: tuple[Duty, ...] = ()
) -> tuple[Duty, ...]:
    """A hand on shift and free for every need; BrokenPromise if the plan needs more hands than
    there are.

    beside: duties that stand already. Where they, or what other plans have taken, leave no hand
    free for all of a need, hands may follow each other at their edges: then as many suffice as
    are needed at any time.
    """
    wanted = tuple(needs)
    hands = [
        _OnShift(
            hand.name,
            asked.kitchen.shifts(hand, asked.days),
            (
                *(duty.span for duty in beside if duty.who == hand.name),
                *asked.promised.spans_of(hand.name),
            ),
        )
        for hand in asked.kitchen.hands
    ]
    try:
        return _given(hands, _pieces(wanted, hands, everywhere=False))
    except BrokenPromise:
        return _given(hands, _pieces(wanted, hands, everywhere=True))


def _given(hands: list[_OnShift], pieces: Iterable[Need]) -> tuple[Duty, ...]:
    busy_until: dict[str, datetime] = {}
    duties: list[Duty] = []
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


def _pieces(needs: Iterable[Need], hands: list[_OnShift], *, everywhere: bool) -> Iterator[Need]:
    """The needs cut at changes of shift, and where hands are elsewhere: everywhere, or only where
    none could take all of a piece."""
    changes = sorted({edge for hand in hands for s in hand.spans for edge in (s.start, s.end)})
    edges = sorted({edge for hand in hands for s in hand.elsewhere for edge in (s.start, s.end)})
    for need in sorted(needs):
        for piece in _cut(need, changes):
            if not everywhere and any(hand.covers(piece.span) for hand in hands):
                yield piece
            else:
                yield from _cut(piece, edges)


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
