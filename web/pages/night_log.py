"""POST /night-sheet/stopped/{number}/log and /decide: the night log of a stop."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.routes.outages import OutageNumber
from api.schemas.night_log import DecideWanted, WriteWanted
from api.services.night_lines import decide, write_night_log
from api.services.night_log import SEEN
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput
from scheduler.units import celsius
from web.pages.night import stop_shown
from web.pages.posted import AtForm, Posted, Taken
from web.pages.pressed import when
from web.pages.refusing import refused
from web.pages.visit import AtDoor, Onward, Visit
from web.views.night import ADDRESS, stop_address
from web.views.reading import Reading

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/stopped/{{number}}"
Number = Annotated[OutageNumber, Path()]


@router.post(f"{ONE}/log")
def write(door: AtDoor, number: Number, posted: AtForm) -> Response:
    reading = _reading(door)
    try:
        wanted = _line(door, Taken(posted, reading), reading)

        def do(book: Book, doing: Doing) -> Onward:
            write_night_log(book, doing, number, wanted.wrote())
            return Onward(f"{stop_address(number)}#log", reading.say("Written down."))

        return door.once(posted, do)
    except BadInput as error:
        return _not_written(door, number, posted, error)


def _line(door: Visit, taken: Taken, reading: Reading) -> WriteWanted:
    with door.reading() as (_, doing):
        at = when(taken, doing.at)
    values = {
        "part": taken.text("part", needed=False),
        "seen": taken.choice("seen", SEEN),
        "text": taken.text("text", needed=False),
        "celsius": _degrees(taken, reading),
        "at": at,
    }
    return taken.body(WriteWanted, values)


def _not_written(door: Visit, number: int, posted: Posted, error: BadInput) -> Response:
    """The stop with its log's form as it was sent, and what is wrong there."""
    reader, page = stop_shown(door, number)
    if page.log is None or page.log.form is None:
        raise error
    form, status = refused(page.log.form, posted, error, reader.reading)
    return door.show(replace(page, log=replace(page.log, form=form)), reader, status)


def _not_decided(door: Visit, number: int, posted: Posted, error: BadInput) -> Response:
    """The same for the decision that is asked of one part-lot."""
    reader, page = stop_shown(door, number)
    clocks = () if page.log is None else page.log.clocks
    own = posted.said.get("part", "")
    asked = next((each for each in clocks if each.form and each.form.said["part"] == own), None)
    if page.log is None or asked is None or asked.form is None:
        raise error
    form, status = refused(asked.form, posted, error, reader.reading)
    shown = tuple(replace(each, form=form) if each is asked else each for each in clocks)
    return door.show(replace(page, log=replace(page.log, clocks=shown)), reader, status)


def _degrees(taken: Taken, reading: Reading) -> float | None:
    """As it is read, in the reader's own degrees."""
    if not taken.said.get("celsius", "").strip():
        return None
    found = taken.number("celsius")
    return found if reading.temperature_unit == "C" else celsius(found)


@router.post(f"{ONE}/decide")
def decided(door: AtDoor, number: Number, posted: AtForm) -> Response:
    """A named person's decision; the tool only asks for it."""
    reading = _reading(door)
    taken = Taken(posted, reading)
    names = ("part", "decision", "decided_by")
    try:
        values: dict[str, object] = {name: taken.text(name) for name in names}
        values |= {name: taken.yes(name) for name in ("discards", "goes_on")}
        wanted = taken.body(DecideWanted, values)

        def do(book: Book, doing: Doing) -> Onward:
            decide(book, doing, number, part=wanted.part, decided=wanted.decided())
            return Onward(f"{stop_address(number)}#clocks", reading.say("Written down."))

        return door.once(posted, do)
    except BadInput as error:
        return _not_decided(door, number, posted, error)


def _reading(door: Visit) -> Reading:
    with door.reading() as (book, doing):
        must(doing, Act.NIGHT_LOG)
        return door.reader(book, doing).reading
