"""Lots held after their dry check, and their corrective-action records, as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.schemas.body import Body, Decimal, Id, Instant, Number, Text, Wanted, YesNo
from api.schemas.lot import LotBody
from api.schemas.run import RunBody
from api.services.corrective import FIELDS, Corrective
from api.services.held import MOST_S, Back, Held, WentOn
from api.services.packing_turns import Became
from scheduler.back_to_dryer import Way, Why
from scheduler.domain.turn import Turn
from scheduler.units import HOUR, seconds_from_hours

MOST_HOURS = MOST_S // HOUR


class WayBody(Body):
    """One dryer for a further run. why: what is in the way, "" where nothing is."""

    dryer_id: str
    racks: int
    start: datetime
    end: datetime
    wash_down: bool
    stretched: bool = Field(description="dries longer, so that its cool hold is short enough")
    why: Why

    @classmethod
    def from_domain(cls, way: Way, zone: ZoneInfo) -> WayBody:
        return cls(
            dryer_id=way.dryer.id,
            racks=way.racks,
            start=way.start.astimezone(zone),
            end=way.end.astimezone(zone),
            wash_down=way.wash_down,
            stretched=way.stretched,
            why=way.why,
        )


class HeldBody(Body):
    """hours: low, likely and high; null where the readings are within the card's limits."""

    lot: LotBody
    run: int
    failures: int
    manager_decides: bool
    hours: tuple[float, float, float] | None
    proposed_hours: float
    ways: list[WayBody]
    corrective_action: int

    @classmethod
    def from_domain(cls, found: Held, zone: ZoneInfo) -> HeldBody:
        hours = found.hours
        return cls(
            lot=LotBody.from_domain(found.lot, zone),
            run=found.run.number,
            failures=found.failures,
            manager_decides=found.manager_decides,
            hours=None if hours is None else (hours.low, hours.likely, hours.high),
            proposed_hours=found.dries_s / HOUR,
            ways=[WayBody.from_domain(each, zone) for each in found.ways],
            corrective_action=found.check.number,
        )


class BackWanted(Wanted):
    """Dry on in that dryer, for the hours proposed if none are said."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"dryer_id": "D1", "hours": 2.5}]})

    dryer_id: Id
    hours: Annotated[Decimal, Field(gt=0, le=MOST_HOURS)] | None = None
    run: Number | None = None
    at: Instant | None = None

    def back(self) -> Back:
        lasts = None if self.hours is None else seconds_from_hours(self.hours)
        return Back(self.dryer_id, lasts, self.run, self.at)


class PackingBody(Body):
    """before and after: start of the packing turn."""

    became: Became
    before: datetime | None
    after: datetime | None


class WentOnBody(Body):
    lot: LotBody
    run: RunBody
    packing: PackingBody

    @classmethod
    def from_domain(cls, done: WentOn, zone: ZoneInfo) -> WentOnBody:
        def start(turn: Turn | None) -> datetime | None:
            return None if turn is None else turn.start.astimezone(zone)

        found = done.packing
        packing = PackingBody(
            became=found.became, before=start(found.before), after=start(found.after)
        )
        lot, run = LotBody.from_domain(done.lot, zone), RunBody.from_domain(done.run, zone)
        return cls(lot=lot, run=run, packing=packing)


class DiscardWanted(Wanted):
    model_config = ConfigDict(json_schema_extra={"examples": [{"why": "mould on rack 3"}]})

    why: Annotated[Text, Field(min_length=1)]


class CorrectiveWanted(Wanted):
    """What is not named stays as it was written last."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"cause": "two slices lay on each other", "close": False}]}
    )

    what_happened: Text | None = None
    cause: Text | None = None
    product: Annotated[Text | None, Field(description="what was done with it")] = None
    done_by: Text | None = None
    verified_by: Text | None = None
    close: YesNo = False

    def said(self) -> dict[str, str]:
        told = ((name, getattr(self, name)) for name in FIELDS)
        return {name: value for name, value in told if value is not None}


class CorrectiveBody(Body):
    """number: of the dry check that failed. missing: what keeps it from being closed."""

    number: int
    lot: str
    opened: datetime
    opened_by: str
    decided_by: str
    what_happened: str
    cause: str
    product: str
    done_by: str
    verified_by: str
    missing: list[str]
    entries: int
    closed: datetime | None
    closed_by: str

    @classmethod
    def from_domain(cls, found: Corrective, zone: ZoneInfo) -> CorrectiveBody:
        return cls(
            number=found.number,
            lot=found.lot.code,
            opened=found.opened.astimezone(zone),
            opened_by=found.opened_by,
            decided_by=found.decided_by,
            missing=list(found.missing),
            entries=found.entries,
            closed=found.closed.astimezone(zone) if found.closed else None,
            closed_by=found.closed_by,
            **found.said,
        )
