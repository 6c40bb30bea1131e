"""GET /: for the kitchen the plan laid out last, for a grower her next day."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from api.services.plans import newest_week
from api.services.roles import Act
from api.services.turns import next_day
from web.pages.door import AtDoor
from web.pages.paper import print_page
from web.views.links import week_link
from web.views.plain import EmptyPage, NothingPage, reader_of

router = APIRouter(include_in_schema=False)


@router.get("/")
def first(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = reader_of(doing)
        if doing.reach(Act.READ_WEEK) == "all":
            week = newest_week(book)
            to = None if week is None else week_link(week).href
            empty: EmptyPage | NothingPage = EmptyPage()
        elif doing.reach(Act.READ_TURNS) == "own":
            day = next_day(book, doing)
            to = None if day is None else f"/day-sheets/{day}"
            empty = NothingPage("Nothing is planned for you yet", "Your day is here once it is.")
        else:
            to, empty = None, NothingPage("No page for you yet", "What you may read is under /api.")
    return print_page(empty, reader=reader) if to is None else RedirectResponse(to, 303)
