"""Mends of a posted plan as JSON: both ways, and who moves from when to when and why."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.records.jobs import JobState, MendFound
from api.schemas.body import Body, Decimal, Wanted, WeekText
from api.services.mends import SECONDS, Mended
from scheduler.domain.clock import Span
from scheduler.domain.mend import TurnMove
from scheduler.units import Grams, kg


class MendWanted(Wanted):
    model_config = ConfigDict(json_schema_extra={"examples": [{"week": "2026-W34"}]})

    week: WeekText
    seconds: Annotated[Decimal, Field(ge=1, le=600)] = SECONDS


class MoveBody(Body):
    """was: null for a new turn; now: null for one that falls away. rule 0: so that others have a
    place."""

    grower_id: str
    note_id: str
    kind: str
    was: datetime | None
    now: datetime | None
    notice_hours: float
    rule: int
    reason: str
    forced: bool

    @classmethod
    def from_domain(cls, move: TurnMove, zone: ZoneInfo) -> MoveBody:
        def start(span: Span | None) -> datetime | None:
            return None if span is None else span.start.astimezone(zone)

        return cls(
            grower_id=move.grower_id,
            note_id=move.note_id,
            kind=move.kind,
            was=start(move.was),
            now=start(move.now),
            notice_hours=round(move.notice_s / 3600, 2),
            rule=move.rule,
            reason=move.reason,
            forced=move.forced,
        )


class WayToMendBody(Body):
    """plan: pencilled, to be posted with move_firm_turns."""

    name: str
    proposed: bool
    plan: int
    worth_kg: float
    kept: list[str]
    lost: list[str]
    gained: list[str]
    moves: list[MoveBody]

    @classmethod
    def from_domain(
        cls, name: str, way: MendFound, zone: ZoneInfo, *, proposed: bool
    ) -> WayToMendBody:
        return cls(
            name=name,
            proposed=proposed,
            plan=way.plan,
            worth_kg=kg(Grams(way.worth_g)),
            kept=list(way.kept),
            lost=list(way.lost),
            gained=list(way.gained),
            moves=[MoveBody.from_domain(each, zone) for each in way.moves],
        )


class MendBody(Body):
    number: int
    week: str
    state: JobState
    fault: str
    why: str
    ways: list[WayToMendBody]

    @classmethod
    def from_domain(cls, found: Mended, zone: ZoneInfo) -> MendBody:
        job, mend = found.job, found.mend
        return cls(
            number=job.number,
            week=str(job.week),
            state=job.state,
            fault=job.fault,
            why=mend.why,
            ways=[
                WayToMendBody.from_domain(name, way, zone, proposed=name == mend.proposed)
                for name, way in found.ways
            ],
        )
