"""GET /api/v1/weeks/{iso_week}: the newest plan of a week."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path

from api.routes.inside import Reading
from api.schemas.problem import Problem
from api.schemas.week import WeekBody
from api.services.plans import plan_of
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault

router = APIRouter(prefix="/api/v1/weeks", tags=["Week on the racks"])
IsoWeek = Annotated[str, Path(description="An ISO week", examples=["2026-W34"])]


def week_of(text: str) -> Week:
    """The ISO week written there; BadInput if it is none."""
    try:
        return Week.parse(text)
    except ValueError:
        message = f"{text!r} is no ISO week; write it like 2026-W34"
        raise BadInput((InputFault("week", None, None, message),)) from None


@router.get(
    "/{iso_week}",
    operation_id="week",
    summary="Week on the racks",
    responses={404: {"model": Problem}, 422: {"model": Problem}},
)
def week(iso_week: IsoWeek, plans: Reading) -> WeekBody:
    """The newest plan of that week: figures, dryers with their runs, waiting list."""
    return WeekBody.from_domain(plan_of(plans, week_of(iso_week)))
