"""Runs on record as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.schemas.body import Body, Decimal, Id, Instant, Text, Wanted, Whole
from api.services.corrections import RightTimes
from api.services.runs import KeptRun, Start
from scheduler.domain.outage import StartedCharge
from scheduler.units import Racks

MOST_CELSIUS = 200  # no dryer for vegetables comes near (common practice)


class OnRacks(Wanted):
    """Racks of one lot, by its note."""

    note_id: Id
    racks: Annotated[Whole, Field(ge=1, le=10_000)]


class StartWanted(Wanted):
    """A run started; now, where no time is given. Without charges: as the posted plan has it."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"dryer_id": "D1"}]})

    dryer_id: Id
    started: Instant | None = None
    ends: Annotated[Instant | None, Field(description="planned end of drying")] = None
    set_point_c: Annotated[Decimal, Field(ge=0, le=MOST_CELSIUS)] | None = None
    charges: Annotated[tuple[OnRacks, ...], Field(max_length=100)] = ()

    def start(self, now: datetime) -> Start:
        charges = (StartedCharge(each.note_id, Racks(each.racks)) for each in self.charges)
        at = self.started or now
        return Start(self.dryer_id, at, self.set_point_c, self.ends, tuple(charges))


class WhenWanted(Wanted):
    """When it was; now, where no time is given."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"at": None}]})

    at: Instant | None = None


class CorrectRunWanted(Wanted):
    """When it started, ended or was unloaded in truth."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [{"ended": "2026-08-18T17:35:00-04:00", "why": "read the wrong clock"}]
        }
    )

    started: Instant | None = None
    ended: Instant | None = None
    unloaded: Instant | None = None
    why: Annotated[Text, Field(min_length=1)]

    def right(self) -> RightTimes:
        return RightTimes(self.started, self.ended, self.unloaded)


class OnRacksBody(Body):
    note_id: str
    racks: int


class RunBody(Body):
    """A run that started: ends is the planned end of drying; ended and unloaded are null until
    somebody says so."""

    number: int
    week: str
    dryer_id: str
    set_point_c: float
    started: datetime
    ends: datetime
    ended: datetime | None
    unloaded: datetime | None
    started_by: str
    charges: list[OnRacksBody]

    @classmethod
    def from_domain(cls, kept: KeptRun, zone: ZoneInfo) -> RunBody:
        run = kept.run
        return cls(
            number=kept.number,
            week=str(kept.week),
            dryer_id=run.dryer_id,
            set_point_c=run.set_point_c,
            started=run.start.astimezone(zone),
            ends=run.end.astimezone(zone),
            ended=kept.ended.astimezone(zone) if kept.ended else None,
            unloaded=kept.unloaded.astimezone(zone) if kept.unloaded else None,
            started_by=kept.started_by,
            charges=[OnRacksBody(note_id=each.note_id, racks=each.racks) for each in run.charges],
        )
