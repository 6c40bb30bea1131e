"""Lots and their trail as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.records.notes import Lot, LotState
from api.schemas.body import Body, Decimal, Id, Kilograms, Number, Text, Wanted, Whole
from api.services.corrections import Right
from api.services.dry_checks import Check, Checked
from api.services.lots import Trail
from scheduler.process.dry_check import Decision, Reading
from scheduler.units import grams, kg


class DoorWanted(Wanted):
    """Weigh in."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"note_id": "G01-7", "weighed_kg": 52.5}]}
    )

    note_id: Id
    weighed_kg: Kilograms


class PackWanted(Wanted):
    """So many bags came of it."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"bags": 34}]})

    bags: Annotated[Whole, Field(ge=0, le=100_000)]


class CorrectLotWanted(Wanted):
    """How it was in truth: the weight of a lot that is whole, or the bags of a packed one."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"weighed_kg": 35, "why": "two digits changed places"}]}
    )

    weighed_kg: Kilograms | None = None
    bags: Annotated[Whole, Field(ge=0, le=100_000)] | None = None
    why: Annotated[Text, Field(min_length=1)]

    def right(self) -> Right:
        return Right(None if self.weighed_kg is None else grams(self.weighed_kg), self.bags)


class HandOutWanted(Wanted):
    """Bags that went to somebody."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"bags": 24, "to": "farm shop"}]})

    bags: Annotated[Whole, Field(ge=1, le=100_000)]
    to: Annotated[Text, Field(min_length=1, max_length=80)]


class ReadingWanted(Wanted):
    """One rack's sample, its moisture in percent of wet weight."""

    rack: Annotated[Whole, Field(ge=1, le=10_000)]
    water_activity: Annotated[Decimal, Field(ge=0, le=1)]
    moisture_percent: Annotated[Decimal, Field(ge=0, le=100)]


class CheckWanted(Wanted):
    """Readings of one run (the last that is unloaded, if none is named), and what the person named
    decided on them."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "readings": [{"rack": 1, "water_activity": 0.51, "moisture_percent": 8.5}],
                    "decision": "hold",
                    "decided_by": "Lotte Amberry",
                }
            ]
        }
    )

    readings: Annotated[list[ReadingWanted], Field(min_length=1, max_length=200)]
    decision: Decision
    decided_by: Annotated[Text, Field(min_length=1, max_length=80)]
    run: Number | None = None

    def check(self) -> Check:
        readings = (Reading(**each.model_dump()) for each in self.readings)
        return Check(tuple(readings), self.decision, self.decided_by, self.run)


class LotBody(Body):
    code: str
    version: int
    note_id: str
    grower_id: str
    week: str
    weighed_kg: float
    at: datetime
    state: LotState
    bags: int | None

    @classmethod
    def from_domain(cls, lot: Lot, zone: ZoneInfo) -> LotBody:
        return cls(
            code=lot.code,
            version=lot.version,
            note_id=lot.note_id,
            grower_id=lot.grower_id,
            week=str(lot.week),
            weighed_kg=kg(lot.weighed_g),
            at=lot.at.astimezone(zone),
            state=lot.state,
            bags=lot.bags,
        )


class CheckedBody(Body):
    """counted: what the worst readings come to against the process card; decision: the person's.
    Neither says that food is safe."""

    lot: LotBody
    run: int
    counted: Decision
    reasons: list[str] = Field(description="what speaks for holding")
    decision: Decision
    decided_by: str

    @classmethod
    def from_domain(cls, checked: Checked, zone: ZoneInfo) -> CheckedBody:
        return cls(
            lot=LotBody.from_domain(checked.lot, zone),
            run=checked.run,
            counted=checked.counted.decision,
            reasons=list(checked.counted.reasons),
            decision=checked.check.decision,
            decided_by=checked.check.decided_by,
        )


class PlacedBody(Body):
    code: str
    dryer_id: str
    racks: int
    first_rack: int | None = Field(description="null where a grower reads")
    start: datetime
    end: datetime


class StepBody(Body):
    at: datetime
    by: str
    what: str
    told: dict[str, Any]


class TrailBody(Body):
    """Back to the field, forward to the bags."""

    lot: LotBody
    grower: str
    farm: str
    crop: str
    cut: str
    noted_at: datetime
    planned: list[PlacedBody]
    steps: list[StepBody]

    @classmethod
    def from_domain(cls, trail: Trail, zone: ZoneInfo) -> TrailBody:
        steps = [
            StepBody(at=each.at.astimezone(zone), by=each.by, what=what, told=trail.told(each))
            for what, each in trail.steps()
        ]
        placed = [
            PlacedBody(
                code=charge.code,
                dryer_id=run.dryer_id,
                racks=charge.racks,
                first_rack=None if trail.own else charge.first_rack,
                start=run.start.astimezone(zone),
                end=run.end.astimezone(zone),
            )
            for run, charge in trail.placed
        ]
        return cls(
            lot=LotBody.from_domain(trail.lot, zone),
            grower=trail.grower.grower.name,
            farm=trail.grower.grower.farm,
            crop=trail.card.card.name,
            cut=trail.card.card.cut,
            noted_at=trail.note.noted_at.astimezone(zone),
            planned=placed,
            steps=steps,
        )
