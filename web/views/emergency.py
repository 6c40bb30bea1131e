"""What is proposed for the racks of a stopped dryer, on its page: a person takes it or not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from api.services.emergencies import Proposed
from scheduler.domain.mend import Way
from scheduler.domain.part_lot import PartLot
from web.views.reading import Reading


@dataclass(frozen=True, slots=True)
class EmergencyShown:
    """parts: each part-lot with its way. ways: what else is open. rings: whose lots are inside.
    asks: in English, where no way is in time."""

    parts: tuple[str, ...]
    ways: tuple[str, ...]
    rings: tuple[str, ...]
    asks: tuple[str, ...]


def emergency_shown(proposed: Proposed, reading: Reading) -> EmergencyShown:
    found, names = proposed.found, proposed.names
    return EmergencyShown(
        parts=tuple(_part(each, reading) for each in found.part_lots),
        ways=tuple(
            f"{code}: {_way(way, reading)}" for code, ways in found.ways.items() for way in ways
        ),
        rings=tuple(
            f"{call.who} {names[call.who]}: {reading.listed(list(call.note_ids))}"
            for call in found.calls
            if call.who in names
        ),
        asks=tuple(each.question for each in found.decisions),
    )


def _part(part: PartLot, reading: Reading) -> str:
    said = ", ".join(_on(part, reading)) or reading.say("no way in time: a person decides")
    return reading.say(
        "%(part)s, %(racks)s racks, about %(water)s %% water: %(way)s",
        part=part.code,
        racks=part.racks,
        water=reading.number(part.water_percent),
        way=said,
    )


def _on(part: PartLot, reading: Reading) -> Iterator[str]:
    if part.held:
        since = reading.moment(part.held.since)
        yield reading.say(
            "into the cold at %(station)s by %(at)s", station=part.held.station_id, at=since
        )
    if part.dries_on:
        on = part.dries_on
        when = reading.span(on.start, on.end)
        yield reading.say("dries on in %(dryer)s, %(when)s", dryer=on.dryer_id, when=when)


def _way(way: Way, reading: Reading) -> str:
    return reading.say(
        "%(station)s, %(racks)s racks, from %(start)s; the clock lets it until %(until)s",
        station=way.station_id,
        racks=way.racks,
        start=reading.moment(way.start),
        until=reading.moment(way.until.replace(second=0)),
    )
