"""GET and POST /board/season/{year}/suppose: the board tries something on a season's weeks."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import RedirectResponse, Response

from api.records.jobs import UNDER_WAY, Job, SupposingSeason
from api.schemas.board_supposition import SeasonSuppositionWanted
from api.schemas.body import MOST_NUMBER
from api.services.board import posted_weeks
from api.services.board_suppositions import (
    ask_season,
    season_supposed,
    seasons_supposed,
    stop_season,
)
from api.services.bounds import FIRST_YEAR, LAST_YEAR
from api.services.errors import NotNow
from api.services.people import name_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput, InputFault, NoSuchPlan
from scheduler.replay.changes import CHANGES
from web.pages.paper import print_page
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.board_supposed import (
    ADDRESS,
    BoardSupposePage,
    board_suppose_page,
    field_of,
    season_form,
    season_progress,
    season_supposed_page,
)
from web.views.reader import Reader

router = APIRouter(include_in_schema=False)
ASKING = "/board/season/{year}/suppose"
ONE = f"{ADDRESS}/{{number}}"
Year = Annotated[int, Path(ge=FIRST_YEAR, lt=LAST_YEAR)]
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(ASKING)
def asking(year: Year, door: AtDoor) -> Response:
    page, reader = _opened(door, year)
    return door.show(page, reader)


@router.post(ASKING)
def asked(year: Year, door: AtDoor, posted: AtForm) -> Response:
    page, reader = _opened(door, year)

    def do(book: Book, doing: Doing) -> Onward:
        wanted = _wanted(posted, reader, year)
        job = ask_season(book, doing, year, tuple(wanted.changes), tries=wanted.tries)
        return Onward(f"{ADDRESS}/{job.number}")

    try:
        return door.once(posted, do)
    except (BadInput, NotNow) as error:
        faults = (InputFault("form", None, "", str(error)),)
        told = error if isinstance(error, BadInput) else BadInput(faults)
        form = page.form.filled(posted.said, posted.key).refused(told, reader.reading)
        status = 422 if isinstance(error, BadInput) else 409
        return door.show(board_suppose_page(year, form, (), reader.reading), reader, status)


@router.get(ONE)
def found(door: AtDoor, number: Number) -> Response:
    with door.reading() as (book, doing):
        job, season = season_supposed(book, doing, number)
        reader, by = door.reader(book, doing), name_of(book, job.asked_by)
    return door.show(season_supposed_page(job, season, reader.reading, by=by), reader)


@router.get(f"{ONE}/progress")
def progress(door: AtDoor, number: Number) -> Response:
    """How far it is, alone, for the script that looks again."""
    job, season, reader = _found(door, number)
    return print_page(season_progress(job, season, reader.reading), reader=reader)


@router.post(f"{ONE}/stop")
def stopped(door: AtDoor, number: Number) -> Response:
    """Asked again, nothing more happens; what has ended meanwhile is shown so."""
    with door.writing() as (book, doing):
        job, _ = season_supposed(book, doing, number)
        if job.state in UNDER_WAY:
            stop_season(book, doing, number)
    return RedirectResponse(f"{ADDRESS}/{number}", 303)


def _found(door: Visit, number: int) -> tuple[Job, SupposingSeason, Reader]:
    with door.reading() as (book, doing):
        return *season_supposed(book, doing, number), door.reader(book, doing)


def _opened(door: Visit, year: int) -> tuple[BoardSupposePage, Reader]:
    with door.reading() as (book, doing):
        must(doing, Act.SUPPOSE_SEASON)
        reader = door.reader(book, doing)
        if all(each.year != year for each in posted_weeks(book, doing)):
            raise NoSuchPlan(f"no week of {year} has been posted")
        before = seasons_supposed(book, doing, year)
    form = season_form(year, reader.reading, {field_of(CHANGES[0].key): "yes"})
    return board_suppose_page(year, form, before, reader.reading), reader


def _wanted(posted: Posted, reader: Reader, year: int) -> SeasonSuppositionWanted:
    taken = Taken(posted, reader.reading)
    values = {
        "year": year,
        "changes": [each.key for each in CHANGES if taken.yes(field_of(each.key))],
        "tries": taken.whole("tries"),
    }
    return taken.body(SeasonSuppositionWanted, values)
