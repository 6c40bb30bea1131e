"""GET /weeks/{iso_week}: Week on the racks."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from api.routes.inside import OpenBook
from api.routes.weeks import IsoWeek, week_of
from api.services.plans import plan_of
from web.pages.paper import print_page
from web.views.week import week_page

router = APIRouter(include_in_schema=False)


@router.get("/weeks/{iso_week}")
def week(iso_week: IsoWeek, book: OpenBook) -> HTMLResponse:
    kept = plan_of(book, week_of(iso_week))
    return print_page(week_page(kept, book.plans.weeks()))
