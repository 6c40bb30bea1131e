"""The kitchen's settings, members and process cards as JSON: the words of a plan file."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.records.house import KitchenSettings
from api.schemas.body import Body, Day, Text, Wanted, Whole
from api.services.changing import away_from, hands_with, staffed_from, weekly_from
from scheduler.domain.harvest import Grower
from scheduler.domain.kitchen import Kitchen, OnCall
from scheduler.domain.process_card import ProcessCard
from scheduler.plan_file import value_to_json


class KitchenBody(Body):
    """One version of the settings; kitchen is written as in a plan file."""

    number: int
    since: datetime
    by: str
    kitchen: dict[str, Any]

    @classmethod
    def from_domain(cls, settings: KitchenSettings, zone: ZoneInfo) -> KitchenBody:
        return cls(
            number=settings.number,
            since=settings.since.astimezone(zone),
            by=settings.by,
            kitchen=value_to_json(settings.kitchen),
        )


class OnCallWanted(Wanted):
    """Who may be rung in the night after that weekday."""

    weekday: Annotated[Whole, Field(ge=0, le=6, description="Monday is 0")]
    name: Annotated[Text, Field(min_length=1)]
    telephone: Annotated[Text, Field(min_length=1)]

    def contact(self) -> OnCall:
        return OnCall(self.weekday, self.name, self.telephone)


class KitchenChange(Wanted):
    """What is left out stays as it is; hours are written as in kitchen.toml.

    shifts: of the hands named. on_call and closures: all of them anew.
    """

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {"closures": ["2026-08-20"]},
                {"staffed": "Mon-Fri 07:00-18:00", "shifts": {"Jun Ferrow": "Mon,Fri 07:00-18:00"}},
            ]
        }
    )

    staffed: Text | None = None
    shifts: Annotated[dict[str, Text] | None, Field(max_length=100)] = None
    on_call: Annotated[tuple[OnCallWanted, ...] | None, Field(max_length=100)] = None
    closures: Annotated[tuple[Day, ...] | None, Field(max_length=400)] = None
    turns_a_month: Annotated[Whole, Field(ge=1, le=1_000)] | None = None
    standing_percent: Annotated[Whole, Field(ge=0, le=100)] | None = None

    def to(self, kitchen: Kitchen) -> dict[str, Any]:
        """kitchen: the settings in force."""
        caps = self.model_dump(exclude_none=True, include={"turns_a_month", "standing_percent"})
        found: dict[str, Any] = {"caps": replace(kitchen.caps, **caps)} if caps else {}
        if self.staffed is not None:
            found["staffed"] = staffed_from(self.staffed)
        if self.shifts is not None:
            found["hands"] = hands_with(kitchen, self.shifts)
        if self.on_call is not None:
            found["on_call"] = tuple(each.contact() for each in self.on_call)
        if self.closures is not None:
            found["closures"] = tuple(sorted(set(self.closures)))
        return found


class GrowerChange(Wanted):
    """What is left out stays as it is; cannot and away are written as in growers.csv."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"cannot": "Sat; Wed 12:00-19:00", "away": "2026-08-20"}]}
    )

    shares: Annotated[Whole, Field(ge=0, le=100_000)] | None = None
    people: Annotated[Whole, Field(ge=1, le=2)] | None = None
    cannot: Text | None = None
    away: Text | None = None
    telephone: Annotated[Text, Field(max_length=40)] | None = None

    def to(self, zone: ZoneInfo) -> dict[str, Any]:
        named = self.model_dump(exclude_none=True, exclude={"telephone"})
        if self.cannot is not None:
            named["cannot"] = weekly_from(self.cannot, "cannot")
        if self.away is not None:
            named["away"] = away_from(self.away, "away", zone)
        return named


class GrowerBody(Body):
    id: str
    name: str
    farm: str
    shares: int
    people: int
    cannot: list[dict[str, Any]] = Field(description="by the week, as in a plan file")
    away: list[dict[str, Any]] = Field(description="single absences, as in a plan file")

    @classmethod
    def from_domain(cls, grower: Grower) -> GrowerBody:
        return cls(
            id=grower.id,
            name=grower.name,
            farm=grower.farm,
            shares=grower.shares,
            people=grower.people,
            cannot=value_to_json(grower.cannot),
            away=value_to_json(grower.away),
        )


class CardBody(Body):
    """card is written as in a plan file."""

    id: str
    name: str
    approved: bool = Field(description="the letter is at hand and in date today")
    card: dict[str, Any]

    @classmethod
    def from_domain(cls, card: ProcessCard, today: date) -> CardBody:
        approved = card.letter_holds(today)
        return cls(id=card.id, name=card.name, approved=approved, card=value_to_json(card))
