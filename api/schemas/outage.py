"""Outages as JSON."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from pydantic import ConfigDict

from api.records.happened import OutageEntry
from api.schemas.body import Body, Id, Instant, Text, Wanted


class DownWanted(Wanted):
    """A station stopped; now, where no time is given."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"station_id": "D3", "cause": "the fan stands still"}]}
    )

    station_id: Id
    stopped: Instant | None = None
    cause: Text = ""


class UpWanted(Wanted):
    """It is back; now, where no time is given."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"back": None}]})

    back: Instant | None = None


class OutageBody(Body):
    number: int
    version: int
    station_id: str
    stopped: datetime
    back: datetime | None
    cause: str

    @classmethod
    def from_domain(cls, entry: OutageEntry, zone: ZoneInfo) -> OutageBody:
        return cls(
            number=entry.number,
            version=entry.version,
            station_id=entry.station_id,
            stopped=entry.stopped.astimezone(zone),
            back=entry.back.astimezone(zone) if entry.back else None,
            cause=entry.cause,
        )
