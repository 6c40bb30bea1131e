"""Standing lots as JSON."""

from __future__ import annotations

from datetime import time
from typing import Annotated

from pydantic import ConfigDict, Field

from api.records.notes import StandingLot
from api.schemas.body import Body, Id, Kilograms, Text, Wanted, WeekText, Whole, YesNo
from scheduler.domain.clock import Week
from scheduler.units import grams, kg


class StandingWanted(Wanted):
    """A lot that comes every week, by the kitchen's clock."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "grower_id": "G12",
                    "card_id": "mushroom",
                    "field_kg": 35,
                    "weekday": 0,
                    "at": "08:00",
                    "first": "2026-W34",
                }
            ]
        }
    )

    grower_id: Id
    card_id: Id
    field_kg: Kilograms
    weekday: Annotated[Whole, Field(ge=0, le=6, description="0 is Monday")]
    at: Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$", examples=["08:00"])]
    first: WeekText
    last: WeekText | None = None
    may_split: YesNo = True
    second_pair: YesNo = False
    remark: Text = ""

    def lot(self) -> StandingLot:
        return StandingLot(
            grower_id=self.grower_id,
            card_id=self.card_id,
            field_g=grams(self.field_kg),
            weekday=self.weekday,
            at=time.fromisoformat(self.at),
            may_split=self.may_split,
            second_pair=self.second_pair,
            remark=self.remark,
            first=Week.parse(self.first),
            last=Week.parse(self.last) if self.last else None,
        )


class StandingEnd(Wanted):
    model_config = ConfigDict(json_schema_extra={"examples": [{"last": "2026-W40"}]})

    last: WeekText


class StandingBody(Body):
    number: int
    version: int
    grower_id: str
    card_id: str
    field_kg: float
    weekday: int
    at: str
    first: str
    last: str | None

    @classmethod
    def from_domain(cls, lot: StandingLot) -> StandingBody:
        return cls(
            number=lot.number,
            version=lot.version,
            grower_id=lot.grower_id,
            card_id=lot.card_id,
            field_kg=kg(lot.field_g),
            weekday=lot.weekday,
            at=f"{lot.at:%H:%M}",
            first=str(lot.first),
            last=str(lot.last) if lot.last else None,
        )
