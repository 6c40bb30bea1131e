"""Staffed hours, shifts and absences as ticks and masks."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from functools import cached_property

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, local_instant
from scheduler.problem import FOREVER, Day
from scheduler.units import GRID, ceil_div


class Calendar:
    """Turns the instants of one week into ticks of five minutes."""

    def __init__(self, asked: Asked) -> None:
        self.asked = asked
        zone = asked.kitchen.zone
        self.origin = local_instant(asked.week.monday, datetime.min.time(), zone)
        self.days = tuple(self._days())
        self.horizon = self.days[-1].close + 1 if self.days else 1

    def seconds(self, instant: datetime) -> int:
        return int((instant - self.origin).total_seconds())

    def up(self, instant: datetime) -> int:
        return ceil_div(self.seconds(instant), GRID)

    def down(self, instant: datetime) -> int:
        return self.seconds(instant) // GRID

    def mask(self, spans: Iterable[Span]) -> int:
        """The ticks that lie wholly inside the spans."""
        whole = 0
        for span in spans:
            first, last = max(0, self.up(span.start)), max(0, self.down(span.end))
            if first < last:
                whole |= (1 << last) - (1 << first)
        return whole

    def touched(self, spans: Iterable[Span]) -> int:
        """The ticks that the spans touch at all."""
        whole = 0
        for span in spans:
            first, last = max(0, self.down(span.start)), max(0, self.up(span.end))
            if first < last:
                whole |= (1 << last) - (1 << first)
        return whole

    def hands(self) -> tuple[int, ...]:
        """By number of hands: the ticks with at least so many on shift while staffed."""
        asked = self.asked
        levels = [(1 << self.horizon) - 1]
        staffed = self.mask(asked.staffed())
        for hand in asked.kitchen.hands:
            on_shift = self.mask(asked.kitchen.shifts(hand, asked.days)) & staffed
            on_shift &= ~self.touched(asked.promised.spans_of(hand.name))
            levels.append(0)
            for level in range(len(levels) - 1, 0, -1):
                levels[level] |= levels[level - 1] & on_shift
        while len(levels) > 1 and not levels[-1]:
            levels.pop()
        return tuple(levels)

    @cached_property
    def most_hands(self) -> int:
        """The most hands that are ever on shift at once."""
        return len(self.hands()) - 1

    def staffed_time(self, tick: int) -> int:
        """Staffed ticks before a tick."""
        return sum(max(0, min(tick, day.close) - day.open) for day in self.days)

    def at_staffed_time(self, staffed: int) -> int:
        """The first tick with that many staffed ticks before it."""
        for day in self.days:
            if staffed <= day.before + day.close - day.open:
                return day.open + max(0, staffed - day.before)
        return FOREVER

    def _days(self) -> Iterable[Day]:
        before = 0
        next_monday = self.asked.days[-1]
        first_of_it = local_instant(next_monday, datetime.min.time(), self.asked.kitchen.zone)
        for span in self.asked.staffed():
            opens, closes = self.up(span.start), self.down(span.end)
            yield Day(opens, closes, before, span.start < first_of_it)
            before += closes - opens
