"""GET and POST /re-lay, and what a worker found: both ways with who moves, before posting."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import Response

from api.schemas.body import MOST_NUMBER
from api.schemas.mend import MendWanted
from api.services.coming import this_week
from api.services.errors import NotNow
from api.services.mends import ask_mend, mended, mends
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault
from web.pages.posted import AtForm, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.mend import ADDRESS, AskMendPage, ask_form, ask_mend_page, mend_page
from web.views.reader import Reader

router = APIRouter(include_in_schema=False)
AGAIN_S = 2  # seconds until the page looks again
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(ADDRESS)
def asking(door: AtDoor, week: Annotated[str, Query(max_length=20)] = "") -> Response:
    """For the week in the address, else this one."""
    page, reader = _opened(door, week)
    return door.show(page, reader)


@router.post(ADDRESS)
def asked(door: AtDoor, posted: AtForm) -> Response:
    page, reader = _opened(door, posted.said.get("week", ""))
    reading = reader.reading
    taken = Taken(posted, reading)
    wanted = taken.body(MendWanted, {"week": taken.text("week")})

    def do(book: Book, doing: Doing) -> Onward:
        job = ask_mend(book, doing, Week.parse(wanted.week), seconds=wanted.seconds)
        return Onward(f"{ADDRESS}/{job.number}")

    try:
        return door.once(posted, do)
    except NotNow as error:
        told = BadInput((InputFault("form", None, "", str(error)),))
        form = page.form.filled(posted.said, posted.key).refused(told, reading)
        return door.show(AskMendPage(page.week, form, page.before), reader, 409)


def _opened(door: Visit, week: str) -> tuple[AskMendPage, Reader]:
    with door.reading() as (book, doing):
        must(doing, Act.MEND)
        reader = door.reader(book, doing)
        found = _week(week) or this_week(book, doing)
        before = mends(book, doing, found)
    page = ask_mend_page(found, ask_form(found, reader.reading), before, reader.reading)
    return page, reader


def _week(text: str) -> Week | None:
    try:
        return Week.parse(text)
    except ValueError:
        return None


@router.get(f"{ADDRESS}/{{number}}")
def found(door: AtDoor, number: Number) -> Response:
    """While a worker looks, the page looks again by itself."""
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        page = mend_page(mended(book, doing, number), reader.reading)
    shown = door.show(page, reader)
    if not page.over:
        shown.headers["Refresh"] = str(AGAIN_S)
    return shown
