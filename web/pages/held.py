"""/dry-checks/{lot}/{run}/held: what is done with a lot that failed its dry check."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace

from fastapi import APIRouter
from fastapi.responses import Response

from api.routes.runs import RunNumber
from api.schemas.body import Id
from api.schemas.held import BackWanted, CorrectiveWanted, DiscardWanted
from api.services.corrective import Corrective, correctives, write_corrective
from api.services.errors import NoSuchThing, NotNow
from api.services.held import Held, discard, held, send_back
from api.services.night import house_at
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput
from web.pages.posted import AtForm, Taken
from web.pages.refusing import KEEPS_FORM, refused
from web.pages.visit import AtDoor, Onward, Visit
from web.views.dry_check import ADDRESS, held_address
from web.views.held import ASKED, Asking, HeldPage, as_told, held_page
from web.views.reader import Reader

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{code}}/{{run}}/held"


@router.get(ONE)
def one(door: AtDoor, code: Id, run: RunNumber) -> Response:
    page, reader, _ = _opened(door, code, run)
    return door.show(page, reader)


def _opened(door: Visit, code: str, run: int) -> tuple[HeldPage, Reader, int]:
    """The page, who reads it, and the number of its record."""
    with door.reading() as (book, doing):
        must(doing, Act.PUT_RIGHT)
        reader = door.reader(book, doing)
        record = _record(book, doing, code, run)
        asking = Asking(doing.at, doing.person.role == "manager", house_at(book, doing.at).contacts)
        found = _still_held(book, doing, code, run=run)
        page = held_page(found, record, run, reader.reading, asking=asking)
    return page, reader, record.number


def _record(book: Book, doing: Doing, code: str, run: int) -> Corrective:
    """That of the last dry check of that run that was held."""
    every = {each.number: each for each in correctives(book, doing, open_only=False, code=code)}
    told = book.happenings.where(subject=code, kind="dry check")
    own = [every[each.number] for each in told if each.number in every and each.told["run"] == run]
    if not own:
        raise NoSuchThing(f"lot {code} was not held after run {run}")
    return own[-1]


def _still_held(book: Book, doing: Doing, code: str, *, run: int) -> Held | None:
    with suppress(NotNow):
        return held(book, doing, code, run=run)
    return None


@router.post(f"{ONE}/back")
def back(door: AtDoor, code: Id, run: RunNumber, posted: AtForm) -> Response:
    _, reader, _ = _opened(door, code, run)
    reading = reader.reading
    taken = Taken(posted, reading)
    version = taken.whole("version")
    wanted = taken.body(BackWanted, {"dryer_id": taken.text("dryer"), "run": run})

    def do(book: Book, doing: Doing) -> Onward:
        done = send_back(book, doing, code, version=version, back=wanted.back())
        return Onward(held_address(code, run), as_told(done.packing.became, reading))

    return door.once(posted, do)


@router.post(f"{ONE}/discard")
def discarded(door: AtDoor, code: Id, run: RunNumber, posted: AtForm) -> Response:
    page, reader, _ = _opened(door, code, run)
    reading = reader.reading
    taken = Taken(posted, reading)
    try:
        version = taken.whole("version")
        wanted = taken.body(DiscardWanted, {"why": taken.text("why")})

        def do(book: Book, doing: Doing) -> Onward:
            discard(book, doing, code, version=version, why=wanted.why)
            return Onward(held_address(code, run), reading.say("Discarded. Its grower is told."))

        return door.once(posted, do)
    except BadInput as error:
        if page.discard is None:
            raise
        form = page.discard.filled(posted.said, posted.key).refused(error, reading)
        return door.show(replace(page, discard=form), reader, 422)


@router.post(f"{ONE}/record")
def record(door: AtDoor, code: Id, run: RunNumber, posted: AtForm) -> Response:
    """Kept as far as it is, or closed, as the button says."""
    page, reader, number = _opened(door, code, run)
    reading, close = reader.reading, posted.said.get("do") == "close"
    try:
        said = _said(Taken(posted, reading))

        def do(book: Book, doing: Doing) -> Onward:
            write_corrective(book, doing, number, said, close=close)
            told = reading.say("The record is closed.") if close else reading.say("Kept.")
            return Onward(f"{held_address(code, run)}#record", told)

        return door.once(posted, do)
    except KEEPS_FORM as error:
        if page.form is None:
            raise
        form, status = refused(page.form, posted, error, reading)
        return door.show(replace(page, form=form), reader, status)


def _said(taken: Taken) -> Mapping[str, str]:
    values = {name: taken.text(name, needed=False) for name in ASKED}
    return taken.body(CorrectiveWanted, values).said()
