"""GET and POST /suppose: a week tried otherwise, beside its plan and without touching it."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import RedirectResponse, Response

from api.records.jobs import UNDER_WAY
from api.routes.weeks import week_of
from api.schemas.body import MOST_NUMBER
from api.schemas.supposition import SuppositionWanted
from api.services.asking import asked_of
from api.services.coming import this_week, week_to_show, weeks_noted
from api.services.errors import NotNow
from api.services.notes import asking_notes
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.suppositions import (
    SupposedWeek,
    ask_suppose,
    stop_supposing,
    supposed,
    supposed_of,
)
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.supposition import KINDS, SuppositionKind
from scheduler.errors import BadInput, InputFault
from scheduler.units import kg
from web.pages.paper import print_page
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.form import Form
from web.views.plain import NoKitchenPage
from web.views.reader import Reader
from web.views.supposed import chosen_page, suppose_page, supposed_page, supposed_progress
from web.views.supposing import ADDRESS, NAMES, suppose_form

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{number}}"
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]
Said = Annotated[str, Query(max_length=40)]


@router.get(ADDRESS)
def choosing(door: AtDoor, *, week: Said = "", what: Said = "", note: Said = "") -> Response:
    """What may be supposed; with what, the form of that."""
    kind = _kind(what)
    with door.reading() as (book, doing):
        must(doing, Act.SUPPOSE)
        reader = door.reader(book, doing)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), reader)
        chosen = week_of(week) if week else week_to_show(book, doing)
        if kind is None:
            weeks = _weeks(book, doing)
            before = supposed_of(book, doing, chosen)
            return door.show(suppose_page(chosen, before, weeks, reader.reading), reader)
        form = _form(book, doing, chosen, kind, reader, {"note": note})
    return door.show(chosen_page(chosen, form, reader.reading), reader)


@router.post(ADDRESS)
def asked_for(door: AtDoor, posted: AtForm) -> Response:
    kind, week = _kind(posted.said.get("what", "")), week_of(posted.said.get("week", ""))
    if kind is None:
        raise BadInput((InputFault("suppose", None, "what", "must be chosen"),))
    with door.reading() as (book, doing):
        must(doing, Act.SUPPOSE)
        reader = door.reader(book, doing)
        asked = asked_of(book, week, now=doing.at)
        form = _form(book, doing, week, kind, reader, {}).filled(posted.said, posted.key)

    def do(book: Book, doing: Doing) -> Onward:
        wanted = _wanted(posted, reader, kind, asked)
        job = ask_suppose(book, doing, week, wanted.to_domain(), seconds=wanted.seconds,
                          moving=wanted.move_firm_turns)  # fmt: skip
        return Onward(f"{ADDRESS}/{job.number}")

    try:
        return door.once(posted, do)
    except (BadInput, NotNow) as error:
        told = error if isinstance(error, BadInput) else _as_fault(error)
        refused = form.refused(told, reader.reading, NAMES)
        status = 422 if isinstance(error, BadInput) else 409
        return door.show(chosen_page(week, refused, reader.reading), reader, status)


@router.get(ONE)
def found(door: AtDoor, number: Number) -> Response:
    work, reader = _found(door, number)
    return door.show(supposed_page(work, reader.reading), reader)


@router.get(f"{ONE}/progress")
def progress(door: AtDoor, number: Number) -> Response:
    """How far it is, alone, for the script that looks again."""
    work, reader = _found(door, number)
    return print_page(supposed_progress(work, reader.reading), reader=reader)


@router.post(f"{ONE}/stop")
def stopped(door: AtDoor, number: Number) -> Response:
    """Asked again, nothing more happens; what has ended meanwhile is shown so."""
    with door.writing() as (book, doing):
        if supposed(book, doing, number).job.state in UNDER_WAY:
            stop_supposing(book, doing, number)
    return RedirectResponse(f"{ADDRESS}/{number}", 303)


def _found(door: Visit, number: int) -> tuple[SupposedWeek, Reader]:
    with door.reading() as (book, doing):
        return supposed(book, doing, number), door.reader(book, doing)


def _kind(text: str) -> SuppositionKind | None:
    return next((each for each in KINDS if each == text), None)


def _weeks(book: Book, doing: Doing) -> list[Week]:
    now = this_week(book, doing).monday
    weeks = (each for each in weeks_noted(book, doing) if each.monday >= now)
    return [each for each in weeks if asking_notes(book, each)]


def _form(
    book: Book,
    doing: Doing,
    week: Week,
    kind: SuppositionKind,
    reader: Reader,
    said: dict[str, str],
) -> Form:
    return suppose_form(asked_of(book, week, now=doing.at), kind, reader.reading, said=said)


def _as_fault(error: NotNow) -> BadInput:
    return BadInput((InputFault("form", None, "", str(error)),))


def _wanted(
    posted: Posted, reader: Reader, kind: SuppositionKind, asked: Asked
) -> SuppositionWanted:
    taken = Taken(posted, reader.reading)
    values: dict[str, object] = {
        "week": str(asked.week),
        "kind": kind,
        "seconds": taken.number("seconds"),
        "move_firm_turns": taken.yes("moving"),
    }
    if kind == "note":
        values |= _of_note(taken, asked)
    if kind == "down":
        values |= {
            "dryer_id": taken.choice("dryer", [each.id for each in asked.kitchen.dryers]),
            "start": taken.moment("start", "start_at"),
            "end": taken.moment("end", "end_at"),
        }
    return taken.body(SuppositionWanted, values)


def _of_note(taken: Taken, asked: Asked) -> dict[str, object]:
    """Only what is told otherwise."""
    found: dict[str, object] = {}
    found["note_id"] = taken.choice("note", [note.id for note in asked.open_notes()])
    if taken.text("weight", needed=False):
        found["field_kg"] = kg(taken.weight("weight"))
    if taken.text("day", needed=False):
        found["arrives"] = _same_time(asked, str(found["note_id"]), taken.day("day"))
    if taken.text("latest", needed=False):
        found["latest_start"] = taken.moment("latest", "latest_at")
    return found


def _same_time(asked: Asked, note_id: str, day: date) -> datetime | None:
    note = next((each for each in asked.notes if each.id == note_id), None)
    if note is None:
        return None
    at = note.arrives.astimezone(asked.kitchen.zone)
    return datetime.combine(day, at.time(), asked.kitchen.zone)
