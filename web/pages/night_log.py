"""POST /night-sheet/stopped/{number}/log and /decide: the night log of a stop."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.routes.outages import OutageNumber
from api.schemas.night_log import DecideWanted, WriteWanted
from api.services.night_log import SEEN, decide, write_night_log
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.units import celsius
from web.pages.posted import AtForm, Taken
from web.pages.pressed import when
from web.pages.visit import AtDoor, Onward, Visit
from web.views.night import ADDRESS, stop_address
from web.views.reading import Reading

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/stopped/{{number}}"
Number = Annotated[OutageNumber, Path()]


@router.post(f"{ONE}/log")
def write(door: AtDoor, number: Number, posted: AtForm) -> Response:
    reading = _reading(door)
    taken = Taken(posted, reading)
    with door.reading() as (_, doing):
        at = when(taken, doing.at)
    values = {
        "part": taken.text("part", needed=False),
        "seen": taken.choice("seen", SEEN),
        "text": taken.text("text", needed=False),
        "celsius": _degrees(taken, reading),
        "at": at,
    }
    wanted = taken.body(WriteWanted, values)

    def do(book: Book, doing: Doing) -> Onward:
        write_night_log(book, doing, number, wanted.wrote())
        return Onward(f"{stop_address(number)}#log", reading.say("Written down."))

    return door.once(posted, do)


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
    wanted = taken.body(DecideWanted, {name: taken.text(name) for name in names})

    def do(book: Book, doing: Doing) -> Onward:
        decide(book, doing, number, **wanted.model_dump())
        return Onward(f"{stop_address(number)}#clocks", reading.say("Written down."))

    return door.once(posted, do)


def _reading(door: Visit) -> Reading:
    with door.reading() as (book, doing):
        must(doing, Act.NIGHT_LOG)
        return door.reader(book, doing).reading
