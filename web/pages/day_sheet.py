"""GET /day-sheets/{date}: Day sheet; the same as PDF."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from api.routes.day_sheets import Day
from api.services.plans import Units, kept_sheet_for
from api.services.roles import Act
from web.pages.as_pdf import as_pdf
from web.pages.visit import AtDoor, Visit
from web.views.day_sheet import DaySheetPage, day_sheet_page
from web.views.reader import Reader

router = APIRouter(include_in_schema=False)


@router.get("/day-sheets/{day}")
def day_sheet(day: Day, door: AtDoor) -> HTMLResponse:
    page, reader = _page(door, day)
    return door.show(page, reader)


@router.get("/day-sheets/{day}/pdf")
def day_sheet_pdf(day: Day, door: AtDoor) -> Response:
    page, reader = _page(door, day)
    return as_pdf(page, reader, name=f"day-sheet-{day}", back=f"/day-sheets/{day}")


def _page(door: Visit, day: date) -> tuple[DaySheetPage, Reader]:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        units = Units(reader.reading.weight_unit, reader.reading.temperature_unit)
        found = kept_sheet_for(book, doing, day, units=units)
    own = doing.reach(Act.READ_DAY_SHEET) == "own"
    return day_sheet_page(found, reader.reading, own=own), reader
