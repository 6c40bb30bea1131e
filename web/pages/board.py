"""GET /board: Board paper, of the posted week that matters now; /board/{iso_week}: of that one."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from api.routes.weeks import IsoWeek, week_of
from api.services.board import board_week, posted_weeks
from scheduler.domain.clock import Week
from web.pages.visit import AtDoor
from web.views.board import ADDRESS, board_link, board_page
from web.views.plain import NothingPage

router = APIRouter(include_in_schema=False)


@router.get(ADDRESS)
def board(door: AtDoor) -> Response:
    """The last posted week that has begun, else the first to come."""
    with door.reading() as (book, doing):
        weeks, reader = posted_weeks(book, doing), door.reader(book, doing)
    reading = reader.reading
    if not weeks:
        detail = reading.say(
            "A week's figures are here once the manager has posted its plan: how full the dryers"
            " are, what was asked and what has a place, who had how much, and what stops took."
        )
        return door.show(NothingPage(reading.say("No week has been posted yet"), detail), reader)
    now = Week.of(reading.local(doing.at).date())
    begun = [each for each in weeks if each <= now]
    return RedirectResponse(board_link(begun[-1] if begun else weeks[0]).href, 303)


@router.get(f"{ADDRESS}/{{iso_week}}")
def week(iso_week: IsoWeek, door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        found = board_week(book, doing, week_of(iso_week))
        page = board_page(found, posted_weeks(book, doing), reader.reading)
    return door.show(page, reader)
