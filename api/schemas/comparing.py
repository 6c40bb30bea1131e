"""Two plans side by side as JSON."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from pydantic import Field

from api.schemas.body import Body
from api.services.comparing import TwoPlans
from scheduler.comparing import ChangeKind, Costs, NoteChange, Stands
from scheduler.domain.turn import TurnKind
from scheduler.units import HOUR, kg


class ComparedRunBody(Body):
    dryer_id: str
    start: datetime


class ComparedTurnBody(Body):
    kind: TurnKind
    start: datetime
    end: datetime


class StandsBody(Body):
    """A note in one of the two plans; empty where it waits."""

    placed_field_kg: float
    runs: list[ComparedRunBody]
    turns: list[ComparedTurnBody]

    @classmethod
    def from_domain(cls, stands: Stands, zone: ZoneInfo) -> StandsBody:
        return cls(
            placed_field_kg=kg(stands.placed_g),
            runs=[
                ComparedRunBody(dryer_id=dryer, start=start.astimezone(zone))
                for dryer, start in stands.runs
            ],
            turns=[
                ComparedTurnBody(
                    kind=kind, start=span.start.astimezone(zone), end=span.end.astimezone(zone)
                )
                for kind, span in stands.turns
            ],
        )


class NoteChangeBody(Body):
    note_id: str
    change: ChangeKind
    before: StandsBody
    after: StandsBody

    @classmethod
    def from_domain(cls, change: NoteChange, zone: ZoneInfo) -> NoteChangeBody:
        return cls(
            note_id=change.note_id,
            change=change.kind,
            before=StandsBody.from_domain(change.before, zone),
            after=StandsBody.from_domain(change.after, zone),
        )


class CostsBody(Body):
    worth_kg: float = Field(description="prepared weight that has a place")
    placed_notes: int
    fees: int = Field(description="of all growers, bags aside, in minor units of the currency")
    dryer_hours: float
    runs: int
    nights: int = Field(description="nights with a run in a dryer")

    @classmethod
    def from_domain(cls, costs: Costs) -> CostsBody:
        return cls(
            worth_kg=kg(costs.worth_g),
            placed_notes=costs.placed,
            fees=costs.fees,
            dryer_hours=costs.dryer_s / HOUR,
            runs=costs.runs,
            nights=costs.nights,
        )


class ComparedBody(Body):
    """What differs from plan before to plan after. Instants carry the kitchen's offset."""

    week: str
    before: int = Field(description="number of the plan")
    after: int = Field(description="number of the plan")
    same_notes: int
    changes: list[NoteChangeBody]
    costs_before: CostsBody
    costs_after: CostsBody

    @classmethod
    def from_domain(cls, two: TwoPlans) -> ComparedBody:
        zone = two.after.asked.kitchen.zone
        return cls(
            week=str(two.after.plan.week),
            before=two.before.number,
            after=two.after.number,
            same_notes=two.found.same,
            changes=[NoteChangeBody.from_domain(each, zone) for each in two.found.changes],
            costs_before=CostsBody.from_domain(two.found.before),
            costs_after=CostsBody.from_domain(two.found.after),
        )
