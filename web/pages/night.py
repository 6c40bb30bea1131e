"""GET /night-sheet; down and up of a station, each at one press, and the page of a stop."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.routes.outages import OutageNumber
from api.schemas.outage import DownWanted, UpWanted
from api.services import outages
from api.services.emergencies import proposed
from api.services.house import in_force
from api.services.night import night_of, tonight, week_inside
from api.services.night_log import night_log, recent_logs
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault, NoSuchPlan
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.emergency import emergency_shown
from web.views.form import Form
from web.views.links import Link
from web.views.mend import ADDRESS as MEND
from web.views.night import ADDRESS, DOWN, night_page, stop_address
from web.views.night_log import due_told, log_shown
from web.views.plain import EmptyPage, FormPage
from web.views.reader import Reader, Undo
from web.views.reading import N_, Reading
from web.views.stop import NAMES, StopPage, down_form, stop_page

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/stopped/{{number}}"
Number = Annotated[OutageNumber, Path()]
EXACTLY = "exactly"  # an instant, where a stop is taken back


@router.get(ADDRESS)
def night(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        may_stop = reader.known and doing.reach(Act.DOWN_UP) == "all"
        try:
            house = tonight(book, doing)
            page = night_page(house, reader.reading, may_stop=may_stop)
            logs = recent_logs(book, doing)
            page = replace(page, due=due_told(logs, reader.reading))
        except NoSuchPlan:
            return door.show(EmptyPage(), reader)
    return door.show(page, reader)


@router.get(DOWN)
def stopping(door: AtDoor) -> Response:
    reader, form = _down_form(door)
    return door.show(_down_page(form, reader.reading), reader)


@router.post(DOWN)
def down(door: AtDoor, posted: AtForm) -> Response:
    reader, form = _down_form(door)
    reading, at = reader.reading, door.desk.clock()
    try:
        wanted = _stop(posted, reading, now=at)

        def do(book: Book, doing: Doing) -> Onward:
            station, stopped = wanted.station_id, wanted.stopped or doing.at
            for each in book.outages.where(station_id=station, back=None):
                told = reading.say("%(station)s is down already.", station=station)
                return Onward(stop_address(each.number), told)
            kept = outages.down(book, doing, station, stopped=stopped, cause=wanted.cause)
            where = stop_address(kept.number)
            back = (("version", str(kept.version)), (EXACTLY, kept.stopped.isoformat()))
            told = reading.say("%(station)s is written down as down.", station=station)
            return Onward(where, told, Undo(f"{where}/up", reading.say("It was a mistake"), back))

        return door.once(posted, do)
    except BadInput as error:
        refused = form.filled(dict(form.said) | dict(posted.said), posted.key)
        page = _down_page(refused.refused(error, reading, NAMES), reading)
        return door.show(page, reader, 422)


def _down_form(door: Visit) -> tuple[Reader, Form]:
    with door.reading() as (book, doing):
        must(doing, Act.DOWN_UP)
        reader, kitchen = door.reader(book, doing), in_force(book).kitchen
    return reader, down_form(kitchen, reader.reading, now=doing.at)


def _down_page(form: Form, reading: Reading) -> FormPage:
    detail = reading.say("What was planned there no longer holds; the manager lays out again.")
    return FormPage(reading.say("A station stopped"), detail, form)


def _stop(posted: Posted, reading: Reading, *, now: datetime) -> DownWanted:
    """Just now, where no time is sent, as by the one press."""
    taken = Taken(posted, reading)
    earlier = "day" in posted.said or "at" in posted.said
    stopped = taken.moment("day", "at", until=now) if earlier else None
    values = {
        "station_id": taken.text("station"),
        "stopped": stopped,
        "cause": taken.text("cause", needed=False),
    }
    if stopped is not None and stopped > now:
        taken.fault("at", reading.say(NOT_YET))
    return taken.body(DownWanted, values)


NOT_YET = N_("has not come yet")


@router.get(ONE)
def stop(door: AtDoor, number: Number) -> Response:
    reader, page = stop_shown(door, number)
    return door.show(page, reader)


def stop_shown(door: Visit, number: int) -> tuple[Reader, StopPage]:
    """The page of a stop as it stands."""
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        entry, house = night_of(book, doing, number)
        may = reader.known and doing.reach(Act.DOWN_UP) == "all"
        log = night_log(book, doing, number)
        page = stop_page(log, house, reader.reading, may_mend=may)
        if house is not None:
            shown = log_shown(log, reader.reading, may=may)
            found = proposed(book, doing, number)
            page = replace(
                page,
                log=shown,
                mend=_mend(week_inside(house, entry), doing, reader.reading),
                emergency=emergency_shown(found, reader.reading) if found else None,
            )
    return reader, page


def _mend(week: Week, doing: Doing, reading: Reading) -> Link | None:
    """To the week of what was inside, for who may ask for its mend."""
    if doing.reach(Act.MEND) != "all":
        return None
    return Link(reading.say("Re-lay the week"), f"{MEND}?week={week}")


@router.post(f"{ONE}/up")
def up(door: AtDoor, number: Number, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        reading, now = door.reader(book, doing).reading, doing.at
        station = outages.outage(book, doing, number, Act.DOWN_UP).station_id
    try:
        taken = Taken(_of_today(posted, reading, now), reading)
        version, back = taken.whole("version"), _back(taken, now)
        wanted = taken.body(UpWanted, {"back": back})

        def do(book: Book, doing: Doing) -> Onward:
            outages.up(book, doing, number, version=version, back=wanted.back or doing.at)
            told = reading.say("%(station)s is written down as up.", station=station)
            return Onward(ADDRESS, told)

        return door.once(posted, do)
    except BadInput as error:
        return _not_up(door, number, posted, error)


def _not_up(door: Visit, number: int, posted: Posted, error: BadInput) -> Response:
    """The stop with its form as it was sent, and what is wrong there."""
    reader, page = stop_shown(door, number)
    if page.form is None:
        raise error
    form = page.form.filled(dict(page.form.said) | dict(posted.said), posted.key)
    form = form.refused(error, reader.reading, NAMES)
    return door.show(replace(page, form=form), reader, 422)


def _of_today(posted: Posted, reading: Reading, now: datetime) -> Posted:
    """A time without a day is one of today."""
    if not posted.said.get("at") or posted.said.get("day"):
        return posted
    return replace(posted, said={**posted.said, "day": f"{reading.local(now):%Y-%m-%d}"})


def _back(taken: Taken, now: datetime) -> datetime | None:
    if EXACTLY in taken.said:
        return _instant(taken.said[EXACTLY])
    told = any(taken.said.get(name) for name in ("day", "at"))
    return taken.moment("day", "at", until=now) if told else None


def _instant(text: str) -> datetime:
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        raise BadInput((InputFault("form", None, EXACTLY, "is no instant"),)) from None
