"""GET /day-sheets/{date}: Day sheet."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from api.routes.day_sheets import Day
from api.services.plans import kept_sheet_for
from api.services.roles import Act
from web.pages.door import AtDoor
from web.pages.paper import print_page
from web.views.day_sheet import day_sheet_page
from web.views.plain import reader_of

router = APIRouter(include_in_schema=False)


@router.get("/day-sheets/{day}")
def day_sheet(day: Day, door: AtDoor) -> HTMLResponse:
    with door.reading() as (book, doing):
        found = kept_sheet_for(book, doing, day)
    own = doing.reach(Act.READ_DAY_SHEET) == "own"
    return print_page(day_sheet_page(found, own=own), reader=reader_of(doing))
