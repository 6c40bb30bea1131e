"""How weekly hours, absences and moments are written in the files, and read from them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from scheduler.domain.clock import Span, WeeklyHours, local_instant

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_STRETCH = re.compile(r"(?P<days>[A-Za-z,\- ]+?)(?:\s+(?P<opens>\d\d:\d\d)-(?P<closes>\d\d:\d\d))?")


def weekday(text: str) -> int:
    """Monday = 0; ValueError for anything but Mon to Sun."""
    name = text.strip().capitalize()
    if name not in DAYS:
        raise ValueError(f"no such day: {text.strip()!r}; write one of {', '.join(DAYS)}")
    return DAYS.index(name)


def _weekdays(text: str) -> list[int]:
    found: list[int] = []
    for part in text.split(","):
        first, dash, last = part.partition("-")
        days = range(weekday(first), weekday(last if dash else first) + 1)
        if not days:
            raise ValueError(f"runs backwards: {part.strip()!r}")
        found += days
    return found


def _clock(text: str) -> time:
    return time(0) if text == "24:00" else time.fromisoformat(text)


def weekly_hours(text: str) -> tuple[WeeklyHours, ...]:
    """Read "Mon-Fri 07:00-19:00; Sat", a day alone being the whole day; ValueError otherwise."""
    found: list[WeeklyHours] = []
    for part in filter(None, (each.strip() for each in text.split(";"))):
        match = _STRETCH.fullmatch(part)
        if match is None:
            raise ValueError(f"not weekly hours: {part!r}; write for example Mon-Fri 07:00-19:00")
        opens, closes = _clock(match["opens"] or "00:00"), _clock(match["closes"] or "24:00")
        if time(0) < closes <= opens:
            raise ValueError(f"ends before it starts: {part!r}")
        found += (WeeklyHours(day, opens, closes) for day in _weekdays(match["days"]))
    return tuple(found)


def overlapping(hours: Iterable[WeeklyHours]) -> bool:
    """Whether two stretches of the same day do."""
    return any(
        first.weekday == second.weekday
        and (second.opens < first.closes or first.closes == time(0))  # closes at the day's end
        for first, second in pairwise(sorted(hours))
    )


def as_written(hours: Iterable[WeeklyHours]) -> str:
    """ "Mon 07:00-19:00; Sat 07:00-24:00", as weekly_hours reads it."""
    return "; ".join(
        f"{DAYS[each.weekday]} {each.opens:%H:%M}-{_end(each.closes)}" for each in hours
    )


def _end(closes: time) -> str:
    return "24:00" if closes == time(0) else f"{closes:%H:%M}"


def moment(text: object) -> datetime:
    """Read "2026-08-17T07:30", local unless it carries an offset; ValueError if it is not that."""
    if isinstance(text, datetime):
        return text
    if not isinstance(text, str) or not re.match(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d", text):
        raise ValueError("not a date and time; write for example 2026-08-17T07:30")
    return datetime.fromisoformat(text)


def instant(local: datetime, zone: ZoneInfo) -> datetime:
    """The UTC instant of a moment, read on the kitchen's clock where it has no offset."""
    return (local if local.tzinfo else local.replace(tzinfo=zone)).astimezone(UTC)


def day(text: str) -> date:
    """Read "2026-08-17"; ValueError if it is not that."""
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        raise ValueError(f"not a date: {text!r}; write for example 2026-08-17")
    return date.fromisoformat(text)


def absences(text: str) -> tuple[tuple[datetime, datetime] | date, ...]:
    """Read "2026-08-20; 2026-08-21T12:00/2026-08-21T19:00"; ValueError if it is not that."""
    found: list[tuple[datetime, datetime] | date] = []
    for part in filter(None, (each.strip() for each in text.split(";"))):
        first, slash, last = part.partition("/")
        found.append((moment(first), moment(last)) if slash else day(part))
    return tuple(found)


def absence_span(absence: tuple[datetime, datetime] | date, zone: ZoneInfo) -> Span:
    """An absence as a span; a date alone is the whole day."""
    if isinstance(absence, tuple):
        return Span(instant(absence[0], zone), instant(absence[1], zone))
    midnight = time(0)
    next_day = absence + timedelta(days=1)
    return Span(local_instant(absence, midnight, zone), local_instant(next_day, midnight, zone))
