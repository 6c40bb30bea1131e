"""GET /day-sheets/{date}: Day sheet."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from api.routes.day_sheets import Day
from api.routes.inside import OpenBook
from api.services.plans import sheet_of
from web.pages.paper import print_page
from web.views.day_sheet import day_sheet_page

router = APIRouter(include_in_schema=False)


@router.get("/day-sheets/{day}")
def day_sheet(day: Day, book: OpenBook) -> HTMLResponse:
    return print_page(day_sheet_page(sheet_of(book, day)))
