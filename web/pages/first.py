"""GET /: to where everybody begins; /weeks and /day-sheets: to the one that matters now."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from api.services.plans import covered_day, newest_week
from api.services.roles import Act, must
from api.services.turns import next_day
from web.pages.visit import AtDoor
from web.views.links import week_link
from web.views.navigation import beginning, entries
from web.views.plain import EmptyPage, NothingPage

router = APIRouter(include_in_schema=False)


@router.get("/")
def first(door: AtDoor) -> Response:
    """The first page of her own navigation."""
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        begins = beginning(doing) if reader.known else next(iter(entries(doing)), None)
    if begins:
        return RedirectResponse(begins.href, 303)
    say = reader.reading.say
    empty = NothingPage(say("No page for you yet"), say("What you may read is under /api."))
    return door.show(empty, reader)


@router.get("/weeks")
def weeks(door: AtDoor) -> Response:
    """The week laid out last."""
    with door.reading() as (book, doing):
        must(doing, Act.READ_WEEK)
        reader, week = door.reader(book, doing), newest_week(book)
        empty = EmptyPage(lay_out=doing.reach(Act.LAY_OUT) == "all")
    if week is None:
        return door.show(empty, reader)
    return RedirectResponse(week_link(week).href, 303)


@router.get("/day-sheets")
def day_sheets(door: AtDoor) -> Response:
    """A grower's next day; for the kitchen today, or the first day of the week laid out last."""
    with door.reading() as (book, doing):
        own = must(doing, Act.READ_DAY_SHEET) == "own"
        reader = door.reader(book, doing)
        day = next_day(book, doing) if own else covered_day(book, doing)
        empty = EmptyPage(lay_out=doing.reach(Act.LAY_OUT) == "all")
    if day is not None:
        return RedirectResponse(f"/day-sheets/{day}", 303)
    if not own:
        return door.show(empty, reader)
    say = reader.reading.say
    title = say("Nothing is planned for you yet")
    return door.show(NothingPage(title, say("Your day is here once it is.")), reader)
