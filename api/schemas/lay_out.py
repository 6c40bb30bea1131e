"""Lay-outs asked for, as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from pydantic import ConfigDict, Field

from api.records.jobs import Job, JobState
from api.schemas.body import MOST_NUMBER, Body, Decimal, Wanted, WeekText, Whole, YesNo
from scheduler.units import Grams, kg

MOST_SECONDS = 3600.0


class LayOutWanted(Wanted):
    model_config = ConfigDict(json_schema_extra={"examples": [{"week": "2026-W34", "seconds": 30}]})

    week: WeekText
    seconds: Annotated[Decimal, Field(ge=1, le=MOST_SECONDS)] = 30
    seed: Annotated[Whole, Field(ge=0, le=MOST_NUMBER)] = 1
    move_firm_turns: Annotated[
        YesNo, Field(description="lay out as if nothing were posted: firm turns may be moved")
    ] = False


class LayOutBody(Body):
    """How far it is: prepared weight placed, and the most that any plan could place."""

    number: int
    week: str
    state: JobState
    asked_at: datetime
    asked_by: str
    seconds: float
    spent_seconds: float
    worth_kg: float | None
    bound_kg: float | None
    whiteboard_kg: float | None
    gap: float | None = Field(description="(bound - worth) / bound")
    stop_wanted: bool
    plan: int | None = Field(description="the kept plan, once it is done or stopped")
    fault: str
    ended_at: datetime | None

    @classmethod
    def from_domain(cls, job: Job) -> LayOutBody:
        return cls(
            number=job.number,
            week=str(job.week),
            state=job.state,
            asked_at=job.asked_at,
            asked_by=job.asked_by,
            seconds=job.seconds,
            spent_seconds=job.spent,
            worth_kg=_kg(job.worth_g),
            bound_kg=_kg(job.bound_g),
            whiteboard_kg=_kg(job.whiteboard_g),
            gap=job.gap,
            stop_wanted=job.stop_wanted,
            plan=job.plan,
            fault=job.fault,
            ended_at=job.ended_at,
        )


def _kg(grams: int | None) -> float | None:
    return None if grams is None else kg(Grams(grams))
