"""GET and POST /tick-off/{date}: the day sheet, ticked off line by line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from api.routes.day_sheets import Day
from api.schemas.lot import DoorWanted, PackWanted
from api.services.day_to_tick import JUST_TICKED, LineToTick, day_to_tick, left_over, note_of
from api.services.plans import Units, covered_day
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.ticking import Tick, take_back, tick_off
from scheduler.errors import BadInput
from scheduler.units import kg
from web.pages.posted import AtForm, Posted, Taken
from web.pages.pressed import when
from web.pages.visit import AtDoor, Onward, Visit
from web.pages.weight import asks_sure, must_be_near
from web.views.plain import EmptyPage
from web.views.reader import Reader, Undo
from web.views.reading import Reading
from web.views.tick_forms import NAMES, sure_too
from web.views.tick_off import ADDRESS, line_id, one_line, tick_off_page

router = APIRouter(include_in_schema=False)


@router.get(ADDRESS)
def today(door: AtDoor) -> Response:
    """Today, or the first day of the week laid out last."""
    with door.reading() as (book, doing):
        must(doing, Act.TICK)
        reader, day = door.reader(book, doing), covered_day(book, doing)
    if day is None:
        return door.show(EmptyPage(), reader)
    return RedirectResponse(f"{ADDRESS}/{day}", 303)


@router.get(f"{ADDRESS}/{{day}}")
def day_of_ticks(door: AtDoor, day: Day) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        reading = reader.reading
        units = Units(reading.weight_unit, reading.temperature_unit)
        found = day_to_tick(book, doing, day, units=units)
        page = tick_off_page(
            found,
            reading,
            who=doing.person.id if reader.known else "",
            today=reading.local(doing.at).date(),
            left=left_over(book, doing, found),
        )
    return door.show(page, reader)


@router.post(f"{ADDRESS}/{{day}}")
def ticked(door: AtDoor, day: Day, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        reader, now = door.reader(book, doing), doing.at
    reading = reader.reading
    try:
        said = _said(posted, reading, now)

        def do(book: Book, doing: Doing) -> Onward:
            _look_at_weight(book, doing, day, said, posted=posted, reading=reading)
            was = tick_off(book, doing, day, said)
            return _ticked_off(was, said, day, reading)

        return door.once(posted, do)
    except BadInput as error:
        return _again(door, day, posted, reader, error)


@router.post(f"{ADDRESS}/{{day}}/back")
def back(door: AtDoor, day: Day, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        reading, now = door.reader(book, doing).reading, doing.at
    said = _said(posted, reading, now)

    def do(book: Book, doing: Doing) -> Onward:
        take_back(book, doing, day, said)
        return Onward(_there(day, said), reading.say("Taken back."))

    return door.once(posted, do)


def _look_at_weight(
    book: Book, doing: Doing, day: date, said: Tick, *, posted: Posted, reading: Reading
) -> None:
    found = day_to_tick(book, doing, day).line(said.key)
    if found is not None and found.line.act == "weigh in" and said.weighed_g is not None:
        note_id = note_of(found.line)
        must_be_near(book, doing, note_id, weighed_g=said.weighed_g, posted=posted, reading=reading)


def _ticked_off(was: LineToTick, said: Tick, day: date, reading: Reading) -> Onward:
    """Only one's own tick is offered to be taken back at once."""
    there, just = _there(day, said), was.line.act in JUST_TICKED
    before = was.done_at(said.load) if just else None
    if before is not None:
        return Onward(there, reading.say("Already ticked off by %(who)s.", who=before.by))
    undo = _undo(said, day, reading) if just else None
    return Onward(there, reading.say("Ticked off."), undo)


def _there(day: date, said: Tick) -> str:
    return f"{ADDRESS}/{day}#{line_id(said.key)}"


def _undo(said: Tick, day: date, reading: Reading) -> Undo:
    fields = (("key", said.key), ("load", str(said.load)))
    return Undo(f"{ADDRESS}/{day}/back", reading.say("Take back"), fields)


def _said(posted: Posted, reading: Reading, now: datetime) -> Tick:
    taken, said = Taken(posted, reading), posted.said
    key, at = taken.text("key"), when(taken, now)
    load = taken.whole("load") if "load" in said else 0
    weighed_g = taken.weight("weight") if "weight" in said else None
    bags = taken.whole("bags") if "bags" in said else None
    taken.must_be_right()
    if weighed_g is not None:
        taken.body(DoorWanted, {"note_id": "it", "weighed_kg": kg(weighed_g)})
    if bags is not None:
        taken.body(PackWanted, {"bags": bags})
    return Tick(key, at, load, bool(said.get("ended")), weighed_g, bags)


def _again(door: Visit, day: date, posted: Posted, reader: Reader, error: BadInput) -> Response:
    """The form of that line by itself, with what is wrong."""
    with door.reading() as (book, doing):
        found = day_to_tick(book, doing, day).line(posted.said.get("key", ""))
    ended = bool(posted.said.get("ended"))
    page = one_line(found, reader.reading, day, ended=ended) if found and not found.done else None
    if page is None:
        raise error
    form = sure_too(page.form, reader.reading) if asks_sure(error) else page.form
    form = form.filled(posted.said, posted.key).refused(error, reader.reading, NAMES)
    return door.show(replace(page, form=form), reader, 422)
