"""GET and POST /at-the-door/{date}: weighing in whoever comes, with a place or without."""

from __future__ import annotations

from datetime import date, datetime

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from api.routes.day_sheets import Day
from api.schemas.lot import DoorWanted
from api.services.at_the_door import expected
from api.services.lots import door as weigh_in
from api.services.plans import covered_day, standing
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from scheduler.errors import BadInput
from scheduler.units import Grams, kg
from web.pages.posted import AtForm, Posted, Taken
from web.pages.pressed import when
from web.pages.visit import AtDoor, Onward
from web.pages.weight import asks_sure, must_be_near
from web.views.at_the_door import (
    ADDRESS,
    at_the_door_page,
    door_form,
    door_form_page,
    row_id,
)
from web.views.links import Link
from web.views.reading import Reading
from web.views.tick_forms import NAMES, sure_too

router = APIRouter(include_in_schema=False)


@router.get(ADDRESS)
def today(door: AtDoor) -> Response:
    """Today, or the first day of the week laid out last."""
    with door.reading() as (book, doing):
        must(doing, Act.DOOR)
        reader, day = door.reader(book, doing), covered_day(book, doing)
    day = day or reader.reading.local(doing.at).date()
    return RedirectResponse(f"{ADDRESS}/{day}", 303)


@router.get(f"{ADDRESS}/{{day}}")
def at_the_door(door: AtDoor, day: Day) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        page = at_the_door_page(
            expected(book, doing, day),
            reader.reading,
            day=day,
            today=reader.reading.local(doing.at).date(),
            who=doing.person.id if reader.known else "",
            days=_days(book, day, reader.reading),
        )
    return door.show(page, reader)


@router.post(f"{ADDRESS}/{{day}}")
def weighed(door: AtDoor, day: Day, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        must(doing, Act.DOOR)
        reader, now = door.reader(book, doing), doing.at
    reading = reader.reading
    try:
        note_id, weighed_g, at = _said(posted, reading, now)

        def do(book: Book, doing: Doing) -> Onward:
            must_be_near(book, doing, note_id, weighed_g=weighed_g, posted=posted, reading=reading)
            lot = weigh_in(book, doing, note_id, weighed_g, at=at)
            told = reading.say("Weighed in as lot %(code)s.", code=lot.code)
            return Onward(f"{ADDRESS}/{day}#{row_id(note_id)}", told)

        return door.once(posted, do)
    except BadInput as error:
        form = door_form(posted.said.get("note", ""), reading, day)
        form = sure_too(form, reading) if asks_sure(error) else form
        form = form.filled(posted.said, posted.key).refused(error, reading, NAMES)
        return door.show(door_form_page(form, reading), reader, 422)


def _said(posted: Posted, reading: Reading, now: datetime) -> tuple[str, Grams, datetime]:
    taken = Taken(posted, reading)
    note_id, weight_g, at = taken.text("note"), taken.weight("weight"), when(taken, now)
    taken.body(DoorWanted, {"note_id": note_id, "weighed_kg": kg(weight_g)})
    return note_id, weight_g, at


def _days(book: Book, day: date, reading: Reading) -> tuple[Link, ...]:
    """The days of the week on which the kitchen is open."""
    kept = standing(book, Week.of(day))
    if kept is None:
        return ()
    return tuple(
        Link(reading.short_day(each), f"{ADDRESS}/{each}", each == day)
        for each in kept.asked.kitchen.open_days(kept.asked.week.days)
    )
