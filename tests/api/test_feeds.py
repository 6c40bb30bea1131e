"""Feeds are read back to the same minutes, with a zone that needs no table of the reader's own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar, Component

from api.feeds import STATUS, calendar_of, etag, grower_feed, is_known, on_call_feed, station_feed
from scheduler.domain.asked import Asked
from scheduler.domain.turn import Turn, TurnState
from scheduler.scenario import load
from scheduler.turns import called_off, moved, nights_of, turns_of, work_of
from tests.autumn import BERLIN, BERLIN_AFTER, NEW_YORK, autumn, by_hand
from tests.printed_plan import printed_plan

FRIDAY = datetime(2026, 8, 14, 19, 5, tzinfo=UTC)
HOUR = timedelta(hours=1)
CHANGES = {
    NEW_YORK: datetime(2026, 11, 1, 6, tzinfo=UTC),
    BERLIN: datetime(2026, 10, 25, 1, tzinfo=UTC),
}


def everything(asked: Asked) -> tuple[Turn, ...]:
    plan, half = by_hand(asked), {note.id for note in asked.notes[::2]}
    return (
        *turns_of(asked, plan, at=FRIDAY, firm=half),
        *work_of(asked, plan, at=FRIDAY, firm=half, sequence=3),
        *nights_of(asked, plan, at=FRIDAY, firm=half, sequence=3),
    )


def read(body: bytes) -> dict[str, Component]:
    """The events by uid, as the library reads them."""
    return {str(event["UID"]): event for event in Calendar.from_ical(body).walk("VEVENT")}


def utc(event: Component, name: str) -> datetime:
    found = event.decoded(name)
    assert isinstance(found, datetime)
    return found.astimezone(UTC)


def told(turns: tuple[Turn, ...]) -> dict[str, tuple[object, ...]]:
    return {
        turn.uid: (turn.start, turn.end, STATUS[turn.state], turn.sequence, turn.changed_at)
        for turn in turns
    }


def heard(body: bytes) -> dict[str, tuple[object, ...]]:
    return {
        uid: (
            utc(event, "DTSTART"),
            utc(event, "DTEND"),
            event["STATUS"],
            event["SEQUENCE"],
            utc(event, "LAST-MODIFIED"),
        )
        for uid, event in read(body).items()
    }


@pytest.fixture(scope="module")
def august() -> Asked:
    return load("august")


@pytest.fixture(scope="module")
def turns(august: Asked) -> tuple[Turn, ...]:
    return everything(august)


# Read back.


def test_august_is_read_back_to_the_same_minutes(august: Asked, turns: tuple[Turn, ...]):
    body = calendar_of(turns, name="August", zone=august.kitchen.zone)
    assert heard(body) == told(turns)
    assert len(turns) > 200


@pytest.mark.parametrize(("zone", "week"), [NEW_YORK, BERLIN, BERLIN_AFTER], ids=str)
def test_a_week_in_autumn_is_read_back_to_the_same_minutes(zone, week):
    asked = autumn(zone, week)
    turns = everything(asked)
    assert heard(calendar_of(turns, name="Autumn", zone=zone)) == told(turns)
    change = CHANGES.get((zone, week))
    across = [turn for turn in turns if change and turn.start < change < turn.end]
    assert {turn.kind for turn in across} == ({"run", "on call"} if change else set())


@pytest.mark.parametrize("place", [NEW_YORK, BERLIN], ids=str)
def test_minutes_of_the_hour_that_comes_twice_are_told_apart(turns: tuple[Turn, ...], place):
    change = CHANGES[place]
    twice = tuple(
        replace(turns[0], uid=str(minute), start=start, end=start + HOUR)
        for minute in range(-120, 121, 30)
        for start in [change + timedelta(minutes=minute)]
    )
    assert heard(calendar_of(twice, name="Twice", zone=place[0])) == told(twice)


def test_the_easier_rules_have_feeds_too(august: Asked):
    plan = printed_plan(august)
    turns = (*turns_of(august, plan, at=FRIDAY), *work_of(august, plan, at=FRIDAY))
    assert heard(calendar_of(turns, name="August", zone=august.kitchen.zone)) == told(turns)


# Whose turns, and what they say.


def test_a_grower_gets_her_own_turns_only(august: Asked, turns: tuple[Turn, ...]):
    for grower in august.growers:
        body = grower_feed(turns, grower, august.kitchen)
        own = {turn.uid for turn in turns if turn.whose == grower.id}
        assert read(body).keys() == own
        others = [note.id for note in august.notes if note.grower_id != grower.id]
        assert not any(f"{note_id}".encode() in body for note_id in others)
    names = [each.name.encode() for each in august.growers]
    assert sum(name in body for name in names) == 1


def test_a_station_gets_its_work_and_those_on_call_their_nights(
    august: Asked, turns: tuple[Turn, ...]
):
    dryer = read(station_feed(turns, "D3", august.kitchen))
    assert {str(event["LOCATION"]) for event in dryer.values()} == {"Cart dryer"}
    assert len(read(on_call_feed(turns, august.kitchen))) == 5
    with pytest.raises(KeyError):
        station_feed(turns, "G01", august.kitchen)


def test_states_are_those_of_the_words(turns: tuple[Turn, ...]):
    first = replace(turns[0], state="firm", title="Bringing turn: kale, R07 A")
    states: dict[TurnState, str] = {
        "firm": "CONFIRMED",
        "pencilled": "TENTATIVE",
        "let go": "CANCELLED",
        "stood down": "CANCELLED",
    }
    for state, status in states.items():
        body = calendar_of([replace(first, state=state)], name="", zone=NEW_YORK[0])
        (event,) = read(body).values()
        assert event["STATUS"] == status
        added = "" if state == "firm" else f" ({state})"
        assert event["SUMMARY"] == f"Bringing turn: kale, R07 A{added}"


def test_a_turn_that_is_gone_is_cancelled_under_the_same_uid(
    august: Asked, turns: tuple[Turn, ...]
):
    known = tuple(turn for turn in turns if turn.kind == "bringing")
    now = FRIDAY + HOUR
    later = [replace(turn, start=turn.start + HOUR, end=turn.end + HOUR) for turn in known[2:]]
    found = moved(known, later, at=now, let_go={known[0].note_id})
    events = read(calendar_of(found, name="", zone=august.kitchen.zone))
    assert events.keys() == {turn.uid for turn in known}
    assert {event["SEQUENCE"] for event in events.values()} == {1}
    for turn in known[:2]:
        assert events[turn.uid]["STATUS"] == "CANCELLED"
        assert utc(events[turn.uid], "DTSTART") == turn.start
    assert utc(events[known[2].uid], "DTSTART") == known[2].start + HOUR
    assert utc(events[known[2].uid], "LAST-MODIFIED") == now


def test_text_cannot_break_out_of_its_line(turns: tuple[Turn, ...]):
    title = "kale, \\ ; dill\r\nEND:VEVENT\r\nchervil é" + "ü" * 90
    body = calendar_of([replace(turns[0], title=title, state="firm")], name="", zone=NEW_YORK[0])
    (event,) = read(body).values()
    assert event["SUMMARY"] == title.replace("\r\n", "\n")
    assert all(len(line) <= 75 for line in body.split(b"\r\n"))


# The bytes.


def test_the_same_turns_give_the_same_bytes(august: Asked, turns: tuple[Turn, ...]):
    body = calendar_of(turns, name="August", zone=august.kitchen.zone)
    again = calendar_of(reversed(everything(august)), name="August", zone=august.kitchen.zone)
    assert body == again
    assert etag(body) == etag(again)
    fewer = calendar_of(turns[1:], name="August", zone=august.kitchen.zone)
    off = called_off(turns[0], "let go", at=FRIDAY)
    other = calendar_of((off, *turns[1:]), name="August", zone=august.kitchen.zone)
    assert len({etag(body), etag(fewer), etag(other)}) == 3


@pytest.mark.parametrize(
    ("header", "known"),
    [
        (None, False),
        ("", False),
        ('"abc"', True),
        ('W/"abc"', True),
        ('"x", "abc"', True),
        ("*", True),
        ("abc", False),
        ('"abcd"', False),
    ],
)
def test_a_tag_that_the_asker_has_is_known(header: str | None, known: bool):
    assert is_known('"abc"', header) is known


# The zone.


def observances(body: bytes) -> list[tuple[datetime, timedelta]]:
    """When (UTC) which offset began, as RFC 5545, 3.6.5 has it: no zone table is looked into."""
    (zone,) = Calendar.from_ical(body).walk("VTIMEZONE")
    return sorted(_begins(each) for each in zone.subcomponents)


def _begins(observance: Component) -> tuple[datetime, timedelta]:
    begins = observance.decoded("DTSTART") - observance.decoded("TZOFFSETFROM")
    return begins.replace(tzinfo=UTC), observance.decoded("TZOFFSETTO")


def hours_of(first: int, last: int) -> Iterator[datetime]:
    at = datetime(first, 1, 1, tzinfo=UTC) - timedelta(hours=14)
    while at < datetime(last + 1, 1, 1, 14, tzinfo=UTC):
        yield at
        at += timedelta(minutes=30)


@pytest.mark.parametrize(
    ("key", "first", "last"),
    [
        ("America/New_York", 2026, 2026),
        ("America/New_York", 2006, 2008),  # the rule changed
        ("Europe/Berlin", 2026, 2027),
        ("Europe/Dublin", 2026, 2026),
        ("America/Caracas", 2016, 2016),  # half an hour, once
        ("Australia/Lord_Howe", 2026, 2026),  # half an hour, twice a year
        ("Africa/Casablanca", 2026, 2026),  # back for a month
        ("Asia/Kolkata", 2026, 2026),
        ("Pacific/Apia", 2011, 2011),  # a day left out
        ("UTC", 2026, 2026),
    ],
)
def test_the_zone_is_right_in_every_year_that_a_turn_touches(
    turns: tuple[Turn, ...], key: str, first: int, last: int
):
    zone = ZoneInfo(key)
    ends = [
        replace(turns[0], uid=str(year), start=start, end=start + HOUR)
        for year in (first, last)
        for start in [datetime(year, 7, 1, tzinfo=UTC)]
    ]
    begun = observances(calendar_of(ends, name="", zone=zone))
    for at in hours_of(first, last):
        offset = [offset for begins, offset in begun if begins <= at][-1]
        assert offset == at.astimezone(zone).utcoffset(), at


def test_a_turn_over_new_year_has_the_rules_of_both_years(turns: tuple[Turn, ...]):
    start = datetime(2026, 12, 31, 22, tzinfo=UTC)
    body = calendar_of(
        [replace(turns[0], start=start, end=start + 12 * HOUR)], name="", zone=NEW_YORK[0]
    )
    assert observances(body)[-1][0] == datetime(2027, 11, 7, 6, tzinfo=UTC)


def test_a_feed_without_turns_still_has_its_zone(august: Asked):
    body = grower_feed((), august.growers[0], august.kitchen)
    assert observances(body)
    assert not read(body)
