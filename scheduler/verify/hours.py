"""Stretches of time joined and sorted once, then searched: staffed hours, shifts, absences."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import datetime
from itertools import accumulate

from scheduler.domain.clock import Span


class Hours:
    """Spans in time order that neither overlap nor touch."""

    __slots__ = ("_ends", "_passed", "_starts")

    def __init__(self, spans: Iterable[Span]) -> None:
        joined: list[Span] = []
        for span in sorted(spans):
            if joined and span.start <= joined[-1].end:
                joined[-1] = Span(joined[-1].start, max(joined[-1].end, span.end))
            else:
                joined.append(span)
        self._starts = [span.start for span in joined]
        self._ends = [span.end for span in joined]
        self._passed = [0, *accumulate(span.seconds for span in joined)]

    def contain(self, span: Span) -> bool:
        """Whether the whole span, its end included, lies within one stretch."""
        at = bisect_right(self._starts, span.start) - 1
        return at >= 0 and span.end <= self._ends[at]

    def hold(self, instant: datetime) -> bool:
        """Whether an instant lies within: an opening does, a closing does not."""
        at = bisect_right(self._starts, instant) - 1
        return at >= 0 and instant < self._ends[at]

    def meet(self, span: Span) -> bool:
        """Whether any part of the span lies within."""
        at = bisect_left(self._starts, span.end) - 1
        return at >= 0 and span.start < self._ends[at]

    def next_opening(self, instant: datetime) -> datetime | None:
        """The first opening at or after an instant; None after the last."""
        at = bisect_left(self._starts, instant)
        return self._starts[at] if at < len(self._starts) else None

    def seconds(self, start: datetime, end: datetime) -> int:
        """How many seconds of start..end lie within; 0 where end comes first."""
        return max(0, self._until(end) - self._until(start))

    def _until(self, instant: datetime) -> int:
        at = bisect_right(self._starts, instant) - 1
        if at < 0:
            return 0
        within = min(instant, self._ends[at]) - self._starts[at]
        return self._passed[at] + int(within.total_seconds())
