"""GET /board: Board paper of the posted week that matters now; /board/{iso_week}; as PDF."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from api.routes.weeks import IsoWeek, week_of
from api.services.board import board_week, posted_weeks
from scheduler.domain.clock import Week
from web.pages.as_pdf import as_pdf
from web.pages.visit import AtDoor, Visit
from web.views.board import ADDRESS, BoardPage, board_link, board_page
from web.views.plain import NothingPage
from web.views.reader import Reader

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
    page, reader = _page(door, week_of(iso_week))
    return door.show(page, reader)


@router.get(f"{ADDRESS}/{{iso_week}}/pdf")
def week_pdf(iso_week: IsoWeek, door: AtDoor) -> Response:
    wanted = week_of(iso_week)
    page, reader = _page(door, wanted)
    return as_pdf(page, reader, name=f"board-paper-{wanted}", back=board_link(wanted).href)


def _page(door: Visit, wanted: Week) -> tuple[BoardPage, Reader]:
    with door.reading() as (book, doing):
        reader, found = door.reader(book, doing), board_week(book, doing, wanted)
        return board_page(found, posted_weeks(book, doing), reader.reading), reader
