"""GET /api/v1/day-sheets/{date}: the sheet of one day."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Path

from api.routes.inside import Reading
from api.schemas.problem import Problem
from api.services.plans import sheet_of
from scheduler.day_sheet import DaySheet

router = APIRouter(prefix="/api/v1/day-sheets", tags=["Day sheet"])
Day = Annotated[date, Path(description="A day", examples=["2026-08-18"])]


@router.get(
    "/{day}",
    operation_id="day_sheet",
    summary="Day sheet",
    responses={404: {"model": Problem}, 422: {"model": Problem}},
)
def day_sheet(day: Day, plans: Reading) -> DaySheet:
    """All that is done that day in time order, who is in the house, tonight, what to mind."""
    return sheet_of(plans, day).sheet
