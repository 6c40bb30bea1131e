"""Turns as iCalendar (RFC 5545): the feeds of a grower, of a station, and of those on call."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, Timezone, TimezoneDaylight, TimezoneStandard

from scheduler.domain.harvest import Grower
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.turn import ON_CALL, Turn, TurnState
from scheduler.turns import station_names

MEDIA_TYPE = "text/calendar; charset=utf-8"
PRODUCT = "-//Commonrack//Commonrack//EN"
LOOK_AGAIN = timedelta(hours=1)  # how often a calendar is asked to read the feed
NO_TURNS_YET = 2000  # the year that the zone is told for where there is none
STATUS: dict[TurnState, str] = {
    "pencilled": "TENTATIVE",
    "firm": "CONFIRMED",
    "let go": "CANCELLED",
    "stood down": "CANCELLED",
}


def grower_feed(turns: Iterable[Turn], grower: Grower, kitchen: Kitchen) -> bytes:
    """Her own turns out of any."""
    return _feed(turns, grower.id, f"{kitchen.name}: {grower.name}", kitchen.zone)


def station_feed(turns: Iterable[Turn], station_id: str, kitchen: Kitchen) -> bytes:
    """The work of that station out of any; KeyError where the kitchen has no such station."""
    name = station_names(kitchen)[station_id]
    return _feed(turns, station_id, f"{kitchen.name}: {name}", kitchen.zone)


def on_call_feed(turns: Iterable[Turn], kitchen: Kitchen) -> bytes:
    """The nights out of any turns."""
    return _feed(turns, ON_CALL, f"{kitchen.name}: on call", kitchen.zone)


def etag(body: bytes) -> str:
    """A strong entity tag (RFC 9110, 8.8.3): the same for the same bytes."""
    return f'"{sha256(body).hexdigest()[:32]}"'


def is_known(tag: str, if_none_match: str | None) -> bool:
    """Whether an If-None-Match header names the tag, so that 304 is the answer.

    The comparison is weak (RFC 9110, 13.1.2): a W/ that a proxy put before it does not matter.
    """
    named = [each.strip().removeprefix("W/") for each in (if_none_match or "").split(",")]
    return "*" in named or tag in named


def calendar_of(turns: Iterable[Turn], *, name: str, zone: ZoneInfo) -> bytes:
    """One event a turn, by the kitchen's clock, with the zone's own rules beside them.

    The same turns give the same bytes: no clock is read, and DTSTAMP and LAST-MODIFIED are the
    turn's changed_at (they mean the same where no METHOD is named: RFC 5545, 3.8.7.2).
    """
    events = sorted(turns, key=lambda each: (each.start, each.uid))
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)  # RFC 7986
    calendar.add("x-wr-calname", name)  # for those that do not know NAME
    calendar.add("refresh-interval", LOOK_AGAIN, parameters={"VALUE": "DURATION"})
    calendar.add_component(_zone(zone, events))
    for turn in events:
        calendar.add_component(_event(turn, zone))
    body: bytes = calendar.to_ical()
    return body


def _feed(turns: Iterable[Turn], whose: str, name: str, zone: ZoneInfo) -> bytes:
    return calendar_of((turn for turn in turns if turn.whose == whose), name=name, zone=zone)


def _event(turn: Turn, zone: ZoneInfo) -> Event:
    event = Event()
    event.add("uid", turn.uid)
    event.add("sequence", turn.sequence)
    event.add("dtstamp", turn.changed_at.astimezone(UTC))
    event.add("last-modified", turn.changed_at.astimezone(UTC))
    event.add("dtstart", _on_the_clock(turn.start, zone))
    event.add("dtend", _on_the_clock(turn.end, zone))
    event.add("status", STATUS[turn.state])
    event.add("summary", turn.title if turn.state == "firm" else f"{turn.title} ({turn.state})")
    event.add("location", turn.place)
    event.add("categories", [turn.kind])
    if turn.facts:
        event.add("description", "\n".join(turn.facts))
    return event


def _on_the_clock(at: datetime, zone: ZoneInfo) -> datetime:
    """By the zone's clock; in UTC where the clock shows that time twice, as clocks go back.

    RFC 5545, 3.3.5, reads such a time as the first of the two, but not every reader does (ical.js
    takes the second).
    """
    local = at.astimezone(zone)
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    return at.astimezone(UTC) if twice else local


# The zone's rules: one observance for each change, so that no reader needs a table of its own.


@dataclass(frozen=True, slots=True)
class _Clock:
    """How a zone's clock stands against UTC."""

    offset: timedelta
    summer: bool
    name: str


def _zone(zone: ZoneInfo, turns: list[Turn]) -> Timezone:
    """VTIMEZONE for every year that a turn touches, from a year before the first."""
    instants = [at.astimezone(zone) for turn in turns for at in (turn.start, turn.end)]
    years = [at.year for at in instants] or [NO_TURNS_YET]
    first = datetime(min(years) - 1, 1, 1, tzinfo=UTC)
    last = datetime(max(years) + 1, 1, 2, tzinfo=UTC)
    found = Timezone()
    found.add("tzid", zone.key)
    stood = _clock(zone, first)
    found.add_component(_observance(first, stood, stood))
    for at in _changes(zone, first, last):
        stands = _clock(zone, at)
        found.add_component(_observance(at, stood, stands))
        stood = stands
    return found


def _clock(zone: ZoneInfo, at: datetime) -> _Clock:
    local = at.astimezone(zone)
    offset = local.utcoffset() or timedelta()
    return _Clock(offset, bool(local.dst()), local.tzname() or str(offset))


def _changes(zone: ZoneInfo, first: datetime, last: datetime) -> Iterator[datetime]:
    """Every instant from first to last at which the clock changes, to the second.

    Looks once a day: no zone changes its clock and changes it back within one.
    """
    day = timedelta(days=1)
    while first < last:
        if _clock(zone, first) != _clock(zone, first + day):
            yield _change(zone, first, first + day)
        first += day


def _change(zone: ZoneInfo, before: datetime, after: datetime) -> datetime:
    stood = _clock(zone, before)
    while after - before > timedelta(seconds=1):
        middle = before + timedelta(seconds=(after - before) // timedelta(seconds=2))
        if _clock(zone, middle) == stood:
            before = middle
        else:
            after = middle
    return after


def _observance(at: datetime, stood: _Clock, stands: _Clock) -> TimezoneStandard | TimezoneDaylight:
    """Its start is told by the clock as it stood before the change (RFC 5545, 3.6.5)."""
    found = TimezoneDaylight() if stands.summer else TimezoneStandard()
    found.add("dtstart", (at + stood.offset).replace(tzinfo=None))
    found.add("tzoffsetfrom", stood.offset)
    found.add("tzoffsetto", stands.offset)
    found.add("tzname", stands.name)
    return found
