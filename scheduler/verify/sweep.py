"""Sorted sweeps: what overlaps, and how much is taken of a shared place at each moment."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.clock import Span
from scheduler.verify.reading import Placed


@dataclass(frozen=True, slots=True)
class Use:
    """A span in which a charge takes so much of a place, and for what."""

    span: Span
    placed: Placed
    what: str
    amount: int = 1


@dataclass(frozen=True, slots=True)
class Excess:
    """A stretch in which more was taken than there is."""

    span: Span
    most: int


def clashes(uses: Iterable[Use]) -> Iterator[tuple[Use, Use]]:
    """Each use that begins before an earlier one is over, with that earlier one first."""
    lasting: Use | None = None
    for use in sorted(uses, key=lambda each: each.span):
        if lasting and use.span.start < lasting.span.end:
            yield lasting, use
        if lasting is None or use.span.end > lasting.span.end:
            lasting = use


class Levels:
    """How much there is at each moment when amounts come and go; what ends makes room at once."""

    __slots__ = ("_amounts", "_since")

    def __init__(self, amounts: Iterable[tuple[Span, int]]) -> None:
        changes: dict[datetime, int] = {}
        for span, amount in amounts:
            if span.start < span.end:
                changes[span.start] = changes.get(span.start, 0) + amount
                changes[span.end] = changes.get(span.end, 0) - amount
        self._since = sorted(changes)
        self._amounts: list[int] = []
        level = 0
        for instant in self._since:
            level += changes[instant]
            self._amounts.append(level)

    def excesses(self, limit: int) -> Iterator[Excess]:
        """The stretches in which the level is over a limit of 0 or more."""
        since, most = None, 0
        for instant, amount in zip(self._since, self._amounts, strict=True):
            if amount > limit:
                since, most = since or instant, max(most, amount)
            elif since:
                yield Excess(Span(since, instant), most)
                since, most = None, 0

    def first_below(self, least: int, *, span: Span) -> datetime | None:
        """The first instant of a span at which the level is under the least, if there is one."""
        at, instant = bisect_right(self._since, span.start) - 1, span.start
        while instant < span.end:
            level = self._amounts[at] if at >= 0 else 0
            if level < least:
                return instant
            at += 1
            instant = self._since[at] if at < len(self._since) else span.end
        return None
