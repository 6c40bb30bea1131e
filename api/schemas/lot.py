"""Lots and their trail as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.records.notes import Lot, LotState
from api.schemas.body import Body, Id, Kilograms, Wanted, Whole
from api.services.lots import Trail
from scheduler.units import kg


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
            StepBody(at=each.at.astimezone(zone), by=each.by, what=what, told=each.told)
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
