"""Harvest notes as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, JsonValue

from api.schemas.answer import AnswerBody
from api.schemas.body import Body, Id, Instant, Kilograms, Text, Wanted, YesNo
from api.schemas.problem import Fault
from api.services.note_import import RowReport
from api.services.notes import Said, SeenNote
from scheduler.units import grams, kg

_EXAMPLE: dict[str, JsonValue] = {
    "grower_id": "G01",
    "card_id": "tomato",
    "field_kg": 55,
    "arrives": "2026-08-18T08:00:00-04:00",
    "remark": "ripe, picked in the evening",
}


class NoteWanted(Wanted):
    """Tell us what's coming. Without a latest start it is arrival + keeping time."""

    model_config = ConfigDict(json_schema_extra={"examples": [_EXAMPLE]})

    grower_id: Id
    card_id: Id
    field_kg: Kilograms
    arrives: Instant
    latest_start: Instant | None = None
    may_split: YesNo = True
    second_pair: YesNo = False
    remark: Text = ""

    def said(self) -> Said:
        return Said(
            grower_id=self.grower_id,
            card_id=self.card_id,
            field_g=grams(self.field_kg),
            arrives=self.arrives,
            latest_start=self.latest_start,
            may_split=self.may_split,
            second_pair=self.second_pair,
            remark=self.remark,
        )


class NoteChange(Wanted):
    """What is left out stays as it is."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"field_kg": 70}]})

    field_kg: Kilograms | None = None
    arrives: Instant | None = None
    latest_start: Instant | None = None
    may_split: YesNo | None = None
    second_pair: YesNo | None = None
    remark: Text | None = None

    def to(self) -> dict[str, Any]:
        given = self.model_dump(exclude_none=True, exclude={"field_kg"})
        return given if self.field_kg is None else given | {"field_g": grams(self.field_kg)}


class NoteEnd(Wanted):
    """How it ends: the grower lets it go, the kitchen stands it down, nobody came."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"state": "let go"}]})

    state: Literal["let go", "stood down", "no-show"]


class CarryOver(Wanted):
    model_config = ConfigDict(
        json_schema_extra={"examples": [{"arrives": "2026-08-25T08:00:00-04:00"}]}
    )

    arrives: Instant


class NoteBody(Body):
    """state: papers short or in order while nobody has decided (rule 15)."""

    id: str
    version: int
    week: str
    state: str
    papers_short: list[str]
    grower_id: str
    card_id: str
    field_kg: float
    arrives: datetime
    latest_start: datetime
    may_split: bool
    second_pair: bool
    standing: bool
    remark: str
    noted_at: datetime
    answer: Annotated[
        AnswerBody | None,
        Field(description="what was told when it was noted", discriminator="outcome"),
    ]

    @classmethod
    def from_domain(cls, seen: SeenNote) -> NoteBody:
        entry, short, zone = seen.entry, seen.papers_short, seen.zone
        state: str = entry.state
        if state == "noted":
            state = "papers short" if short else "in order"
        return cls(
            id=entry.id,
            version=entry.version,
            week=str(entry.week),
            state=state,
            papers_short=list(short),
            grower_id=entry.grower_id,
            card_id=entry.card_id,
            field_kg=kg(entry.field_g),
            arrives=entry.arrives.astimezone(zone),
            latest_start=entry.latest_start.astimezone(zone),
            may_split=entry.may_split,
            second_pair=entry.second_pair,
            standing=entry.standing,
            remark=entry.remark,
            noted_at=entry.noted_at.astimezone(zone),
            answer=entry.answer,
        )


class RowBody(Body):
    """What became of one row of many: the note it is, or what is wrong with it."""

    row: int
    note_id: str | None
    faults: list[Fault]

    @classmethod
    def from_domain(cls, report: RowReport) -> RowBody:
        faults = [Fault(where=each.field or "row", message=each.message) for each in report.faults]
        return cls(row=report.row, note_id=report.note_id, faults=faults)
