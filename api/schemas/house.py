"""The kitchen's settings, members and process cards as JSON: the words of a plan file."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from pydantic import Field

from api.records.house import KitchenSettings
from api.schemas.body import Body
from scheduler.domain.harvest import Grower
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


class GrowerBody(Body):
    id: str
    name: str
    farm: str
    shares: int
    people: int

    @classmethod
    def from_domain(cls, grower: Grower) -> GrowerBody:
        return cls(
            id=grower.id,
            name=grower.name,
            farm=grower.farm,
            shares=grower.shares,
            people=grower.people,
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
