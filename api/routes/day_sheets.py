"""GET /api/v1/day-sheets/{date}: the sheet of one day, and of the night after it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path

from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas import body
from api.services.plans import night_for, sheet_for
from scheduler.day_sheet import DaySheet
from scheduler.day_sheet.sheet import NightSheet

router = APIRouter(prefix="/api/v1/day-sheets", tags=["Day sheet"])
Day = Annotated[body.Day, Path(description="A day")]


@router.get("/{day}", operation_id="day_sheet", summary="Day sheet", responses=problems(404))
def day_sheet(desk: AtDesk, day: Day) -> DaySheet:
    """All that is done that day in time order, who is in the house, tonight, what to mind.

    A grower sees her own part of the posted plan's sheet.
    """
    with desk.reading() as (book, doing):
        return sheet_for(book, doing, day)


@router.get(
    "/{day}/night", operation_id="night_sheet", summary="Night sheet", responses=problems(404)
)
def night_sheet(desk: AtDesk, day: Day) -> NightSheet | None:
    """From closing to the next opening: what runs, and who may be rung; null where all is empty."""
    with desk.reading() as (book, doing):
        return night_for(book, doing, day)
