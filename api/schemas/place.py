"""One lot's place anew as JSON: whether its turn holds, the ways it has, who waits for room."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.schemas.body import Body, Instant, Wanted
from api.services.places import Offer, Ways
from scheduler.answer.again import Kind, Place
from scheduler.units import kg


class PlaceChargeBody(Body):
    code: str
    dryer_id: str
    racks: int
    start: datetime
    end: datetime


class PlaceBody(Body):
    """kind: in the runs it was in, another one, split, or in part. rest_kg: field weight that
    waits."""

    kind: Kind
    charges: list[PlaceChargeBody]
    rest_kg: float

    @classmethod
    def from_domain(cls, place: Place, zone: ZoneInfo) -> PlaceBody:
        charges = [
            PlaceChargeBody(
                code=charge.code,
                dryer_id=run.dryer_id,
                racks=charge.racks,
                start=run.start.astimezone(zone),
                end=run.end.astimezone(zone),
            )
            for run, charge in place.charges()
        ]
        rest = place.rest
        return cls(kind=place.kind, charges=charges, rest_kg=kg(rest.field_g) if rest else 0)


class WaysBody(Body):
    """holds: its posted turn holds. Else places, each of which moves nobody; without any, rule and
    why; broken: the posted plan itself no longer holds, and the week is to be mended."""

    note_id: str
    holds: bool
    places: list[PlaceBody]
    rule: int | None
    why: str
    broken: bool

    @classmethod
    def from_domain(cls, found: Ways, zone: ZoneInfo) -> WaysBody:
        return cls(
            note_id=found.entry.id,
            holds=found.holds,
            places=[PlaceBody.from_domain(each, zone) for each in found.places],
            rule=found.rule,
            why=found.why,
            broken=found.broken,
        )


class OfferBody(Body):
    """turn: its place in order of turn, from 1."""

    note_id: str
    grower_id: str
    turn: int
    place: PlaceBody

    @classmethod
    def from_domain(cls, offer: Offer, zone: ZoneInfo) -> OfferBody:
        place = PlaceBody.from_domain(offer.place, zone)
        entry = offer.entry
        return cls(note_id=entry.id, grower_id=entry.grower_id, turn=offer.turn, place=place)


class PlaceWanted(Wanted):
    model_config = ConfigDict(json_schema_extra={"examples": [{"kind": "other run"}]})

    kind: Kind


class LaterLook(Wanted):
    """It comes at that time: what would it have? Nothing is kept."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"arrives": "2026-08-19T09:00:00-04:00"}]}
    )

    arrives: Instant


class LaterWanted(LaterLook):
    """It comes at that time. kind: the way it takes, where its turn does not hold; null: none, and
    its turns end."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [{"arrives": "2026-08-19T09:00:00-04:00", "kind": "other run"}]
        }
    )

    kind: Kind | None = Field(default=None)
