"""Instants, spans and staffed time: everything is UTC inside, the kitchen's zone at the edges."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from scheduler.units import Seconds


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """From start (counted) to end (not counted); both aware, in UTC."""

    start: datetime
    end: datetime

    @property
    def seconds(self) -> Seconds:
        return Seconds(int((self.end - self.start).total_seconds()))

    def overlaps(self, other: Span) -> bool:
        return self.start < other.end and other.start < self.end

    def contains(self, other: Span) -> bool:
        return self.start <= other.start and other.end <= self.end

    def holds(self, instant: datetime) -> bool:
        return self.start <= instant < self.end


@dataclass(frozen=True, slots=True, order=True)
class WeeklyHours:
    """One stretch of a weekday (Monday = 0) by the wall clock of the kitchen."""

    weekday: int
    opens: time
    closes: time


def local_instant(day: date, at: time, zone: ZoneInfo) -> datetime:
    """The UTC instant of a wall-clock time; a time skipped by a clock change moves forward."""
    return datetime.combine(day, at, tzinfo=zone).astimezone(UTC)


def span_on(day: date, hours: WeeklyHours, zone: ZoneInfo) -> Span:
    """One weekday stretch on a given day; midnight as closing time means the day's end."""
    closing_day = day + timedelta(days=1) if hours.closes == time(0) else day
    return Span(
        local_instant(day, hours.opens, zone), local_instant(closing_day, hours.closes, zone)
    )


def weekly_spans(
    hours: Iterable[WeeklyHours], days: Iterable[date], zone: ZoneInfo
) -> tuple[Span, ...]:
    """All stretches of those weekly hours on those days, in time order."""
    wanted = tuple(hours)
    return tuple(
        sorted(
            span_on(day, each, zone)
            for day in days
            for each in wanted
            if each.weekday == day.weekday()
        )
    )


def without(spans: Iterable[Span], gaps: Iterable[Span]) -> tuple[Span, ...]:
    """The spans with the gaps cut out of them, in time order."""
    left = tuple(sorted(spans))
    for gap in gaps:
        pieces: list[Span] = []
        for span in left:
            if not span.overlaps(gap):
                pieces.append(span)
                continue
            if span.start < gap.start:
                pieces.append(Span(span.start, gap.start))
            if gap.end < span.end:
                pieces.append(Span(gap.end, span.end))
        left = tuple(pieces)
    return left


def seconds_within(spans: Iterable[Span], start: datetime, end: datetime) -> Seconds:
    """How much of start..end lies inside the spans (which do not overlap each other)."""
    total = 0
    for span in spans:
        first, last = max(span.start, start), min(span.end, end)
        if first < last:
            total += Span(first, last).seconds
    return Seconds(total)


@dataclass(frozen=True, slots=True, order=True)
class Week:
    """An ISO week; its night after belongs to it (rule 1)."""

    year: int
    number: int

    @classmethod
    def of(cls, day: date) -> Week:
        iso = day.isocalendar()
        return cls(iso.year, iso.week)

    @classmethod
    def parse(cls, text: str) -> Week:
        """Read "2026-W34"; ValueError if it is no ISO week."""
        monday = datetime.strptime(f"{text}-1", "%G-W%V-%u").replace(tzinfo=UTC).date()
        return cls.of(monday)

    @property
    def monday(self) -> date:
        return date.fromisocalendar(self.year, self.number, 1)

    @property
    def days(self) -> tuple[date, ...]:
        return tuple(self.monday + timedelta(days=each) for each in range(7))

    def __str__(self) -> str:
        return f"{self.year}-W{self.number:02d}"
