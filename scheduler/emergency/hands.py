"""When somebody is there to move racks: staffed hours, and those on call after a stop (rule 20)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, without
from scheduler.domain.kitchen import Kitchen, OnCall
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.units import GRID, MINUTE

ON_THE_WAY = timedelta(seconds=35 * MINUTE)  # from the stop to the door at night: demo
NOON = 12


@dataclass(frozen=True, slots=True)
class Hands:
    """there: from when racks can be moved. spans: when somebody is there, in time order. on_call:
    whether that takes people who are rung."""

    there: datetime
    spans: tuple[Span, ...]
    staffed: tuple[Span, ...]
    on_call: bool

    def after(self, instant: datetime, seconds: int) -> datetime | None:
        """When somebody has been there for so many seconds since; None if that never is."""
        left = seconds
        for span in self.spans:
            begin = max(span.start, instant)
            if begin > span.end:
                continue
            if (span.end - begin).total_seconds() >= left:
                return up(begin + timedelta(seconds=left))
            left -= int((span.end - begin).total_seconds())
        return None

    def hold(self, instant: datetime) -> bool:
        return any(span.start <= instant <= span.end for span in self.spans)

    def by_night(self, instant: datetime) -> bool:
        """Whether only those on call are there."""
        staffed = any(span.start <= instant <= span.end for span in self.staffed)
        return self.hold(instant) and not staffed

    def release(self, end: datetime) -> datetime | None:
        """Rule 3: the end itself while staffed, else the next opening."""
        if any(span.holds(end) for span in self.staffed):
            return end
        return min((span.start for span in self.staffed if span.start >= end), default=None)


def hands_after(asked: Asked, stopped: datetime, now: datetime) -> Hands:
    """Staffed hours from now on; beside them those on call until the clock of exposure is full."""
    staffed = tuple(span for span in asked.staffed() if span.end > now)
    if any(span.holds(now) for span in staffed):
        there = up(now)
    else:
        opening = min((span.start for span in staffed), default=now)
        there = min(opening, up(max(now, stopped + ON_THE_WAY)))
    limit = stopped + timedelta(seconds=MOST_EXPOSED)
    night = without([Span(there, limit)], staffed) if there < limit else ()
    if not asked.kitchen.on_call or not night:
        opening = min((span.start for span in staffed if span.end > there), default=there)
        return Hands(max(there, opening), staffed, staffed, on_call=False)
    by_night = not any(span.holds(there) for span in staffed)
    return Hands(there, tuple(sorted((*staffed, *night))), staffed, on_call=by_night)


def tonight(kitchen: Kitchen, at: datetime) -> tuple[OnCall, ...]:
    """Who may be rung in the night that an instant lies in, as the rota has them."""
    local = at.astimezone(kitchen.zone)
    evening = local if local.hour >= NOON else local - timedelta(days=1)
    return tuple(each for each in kitchen.on_call if each.weekday == evening.weekday())


def up(instant: datetime) -> datetime:
    """Raised to the five-minute grid."""
    seconds = int(instant.timestamp())
    return datetime.fromtimestamp(-(-seconds // GRID) * GRID, tz=UTC)
