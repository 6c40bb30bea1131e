"""GET /weeks/{iso_week}: Week on the racks."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from api.routes.weeks import IsoWeek, week_of
from api.services.plans import week_for
from web.pages.visit import AtDoor
from web.views.week import week_page

router = APIRouter(include_in_schema=False)


@router.get("/weeks/{iso_week}")
def week(iso_week: IsoWeek, door: AtDoor) -> HTMLResponse:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        kept, weeks = week_for(book, doing, week_of(iso_week)), book.plans.weeks()
    return door.show(week_page(kept, weeks, reader.reading), reader)
