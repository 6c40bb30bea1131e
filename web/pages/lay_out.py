"""GET and POST /lay-out: asking for a lay-out, watching it, stopping with the best so far."""

from __future__ import annotations

from contextlib import suppress
from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import RedirectResponse, Response

from api.records.jobs import Job
from api.schemas.body import MOST_NUMBER
from api.schemas.lay_out import LayOutWanted
from api.services.coming import this_week, weeks_noted
from api.services.jobs import ask, job_numbered, jobs, stop
from api.services.notes import asking_notes
from api.services.people import name_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from scheduler.errors import BadInput
from web.pages.paper import print_page
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.form import Form
from web.views.lay_out import ADDRESS, lay_out_form, lay_out_page, laying_out_page, progress_shown
from web.views.plain import NoKitchenPage
from web.views.reader import Reader
from web.views.reading import Reading

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{number}}"
MOST_SHOWN, MOST_OF_WEEK = 10, 200
NAMES = {"move_firm_turns": "moving"}
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]
Said = Annotated[str, Query(max_length=20)]


@router.get(ADDRESS)
def lay_out(door: AtDoor, *, week: Said = "", seconds: Said = "", moving: Said = "") -> Response:
    """What is said in the address stands in the form already."""
    with door.reading() as (book, doing):
        must(doing, Act.LAY_OUT)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
        over = week if _is_over(week, this_week(book, doing)) else ""
    said = {"week": week, "seconds": seconds, "moving": moving}
    reader, form, before = _opened(door, {name: text for name, text in said.items() if text})
    return door.show(lay_out_page(form, before, reader.reading, over=over), reader)


def _is_over(week: str, now: Week) -> bool:
    with suppress(ValueError):
        return Week.parse(week) < now
    return False


@router.post(ADDRESS)
def asked_for(door: AtDoor, posted: AtForm) -> Response:
    reader, form, before = _opened(door, {})
    reading = reader.reading
    try:
        wanted = _wanted(posted, reading)
    except BadInput as error:
        told = form and form.filled(posted.said, posted.key).refused(error, reading, NAMES)
        return door.show(lay_out_page(told, before, reading), reader, 422)

    def do(book: Book, doing: Doing) -> Onward:
        week, moving = Week.parse(wanted.week), wanted.move_firm_turns
        job = ask(book, doing, week, seconds=wanted.seconds, seed=wanted.seed, moving=moving)
        return Onward(f"{ADDRESS}/{job.number}")

    return door.once(posted, do)


@router.get(ONE)
def laying_out(door: AtDoor, number: Number) -> Response:
    with door.reading() as (book, doing):
        job, reader = job_numbered(book, doing, number), door.reader(book, doing)
        by = name_of(book, job.asked_by)
    return door.show(laying_out_page(job, reader.reading, by=by), reader)


@router.get(f"{ONE}/progress")
def progress(door: AtDoor, number: Number) -> Response:
    """How far it is, alone, for the script that looks again."""
    job, reader = _found(door, number)
    return print_page(progress_shown(job, reader.reading), reader=reader)


@router.post(f"{ONE}/stop")
def stopped(door: AtDoor, number: Number) -> Response:
    """Asked again, nothing more happens; one that has ended meanwhile is shown so."""
    with door.writing() as (book, doing):
        if job_numbered(book, doing, number).ended_at is None:
            stop(book, doing, number)
    return RedirectResponse(f"{ADDRESS}/{number}", 303)


def _found(door: Visit, number: int) -> tuple[Job, Reader]:
    with door.reading() as (book, doing):
        return job_numbered(book, doing, number), door.reader(book, doing)


def _opened(door: Visit, said: dict[str, str]) -> tuple[Reader, Form | None, list[Job]]:
    """For who may lay out."""
    with door.reading() as (book, doing):
        must(doing, Act.LAY_OUT)
        reader = door.reader(book, doing)
        now = this_week(book, doing).monday
        weeks = [
            week
            for week in weeks_noted(book, doing)
            if week.monday >= now and asking_notes(book, week)
        ]
        of_weeks = (jobs(book, doing, week=week, after=None, limit=MOST_OF_WEEK) for week in weeks)
        before = sorted((job for found in of_weeks for job in found), key=lambda job: job.number)
    form = lay_out_form(weeks, said, reader.reading) if weeks else None
    return reader, form, before[-MOST_SHOWN:]


def _wanted(posted: Posted, reading: Reading) -> LayOutWanted:
    taken = Taken(posted, reading)
    values = {
        "week": taken.text("week"),
        "seconds": taken.number("seconds"),
        "seed": taken.whole("seed"),
        "move_firm_turns": taken.yes("moving"),
    }
    return taken.body(LayOutWanted, values)
