"""GET /day-sheets/{date}: Day sheet."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from api.routes.day_sheets import Day
from api.services.plans import Units, kept_sheet_for
from api.services.roles import Act
from web.pages.visit import AtDoor
from web.views.day_sheet import day_sheet_page

router = APIRouter(include_in_schema=False)


@router.get("/day-sheets/{day}")
def day_sheet(day: Day, door: AtDoor) -> HTMLResponse:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        units = Units(reader.reading.weight_unit, reader.reading.temperature_unit)
        found = kept_sheet_for(book, doing, day, units=units)
    own = doing.reach(Act.READ_DAY_SHEET) == "own"
    return door.show(day_sheet_page(found, reader.reading, own=own), reader)
