"""GET and POST /harvest-notes/standing-lots: lots that come every week; a week's noted at once."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.records.notes import StandingLot
from api.routes.weeks import week_of
from api.schemas.body import MOST_NUMBER
from api.schemas.standing import StandingEnd, StandingWanted
from api.services.coming import growers_named, this_week
from api.services.errors import NoSuchThing
from api.services.own_lots import crops
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.standing import call_standing, end_standing, keep_standing, standing_lots
from scheduler.domain.clock import Week
from scheduler.errors import BadInput
from scheduler.units import kg
from web.pages.posted import AtForm, Posted, Taken
from web.pages.refusing import KEEPS_FORM, refused
from web.pages.visit import AtDoor, Onward, Visit
from web.views.form import Form
from web.views.harvest_notes import ADDRESS
from web.views.links import Link
from web.views.plain import NoKitchenPage, SurePage
from web.views.reader import Reader
from web.views.reading import Reading
from web.views.standing_lots import (
    NAMES,
    WHERE,
    StandingPage,
    end_form,
    name_of,
    standing_form,
    standing_page,
)

router = APIRouter(include_in_schema=False)
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(WHERE)
def standing(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        must(doing, Act.KEEP_STANDING)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
    reader, page = _opened(door)
    return door.show(page, reader)


@router.post(WHERE)
def kept(door: AtDoor, posted: AtForm) -> Response:
    reader, page = _opened(door)
    reading = reader.reading
    form = page.form.filled(posted.said, posted.key)
    try:
        lot = _wanted(posted, reading).lot()

        def do(book: Book, doing: Doing) -> Onward:
            keep_standing(book, doing, lot)
            return Onward(WHERE, reading.say("Kept. It comes every week from now on."))

        return door.once(posted, do)
    except BadInput as error:
        _, again = _opened(door, form.refused(error, reading, NAMES))
        return door.show(again, reader, 422)


@router.post(f"{WHERE}/call")
def call(door: AtDoor, posted: AtForm) -> Response:
    """Those of the week that are not noted yet."""
    with door.reading() as (book, doing):
        reading = door.reader(book, doing).reading
    week = week_of(posted.said.get("week", ""))

    def do(book: Book, doing: Doing) -> Onward:
        noted = len(call_standing(book, doing, week))
        told = reading.say_many(
            "%(n)s standing lot was noted.", "%(n)s standing lots were noted.", noted
        )
        none = reading.say("All standing lots of this week are noted already.")
        return Onward(f"{ADDRESS}?week={week}", told if noted else none)

    return door.once(posted, do)


@router.get(f"{WHERE}/{{number}}/end")
def end(door: AtDoor, number: Number) -> Response:
    reader, lot, crop = _found(door, number)
    return door.show(_end_page(lot, crop, None, reader.reading), reader)


@router.post(f"{WHERE}/{{number}}/end")
def ended(door: AtDoor, number: Number, posted: AtForm) -> Response:
    reader, lot, crop = _found(door, number)
    reading = reader.reading
    taken = Taken(posted, reading)
    try:
        last = Week.parse(taken.body(StandingEnd, {"last": taken.text("last")}).last)

        def do(book: Book, doing: Doing) -> Onward:
            end_standing(book, doing, number, last)
            told = reading.say("It comes for the last time in %(week)s.", week=str(last))
            return Onward(WHERE, told)

        return door.once(posted, do)
    except KEEPS_FORM as error:
        form, status = refused(end_form(lot, reading), posted, error, reading)
        return door.show(_end_page(lot, crop, form, reading), reader, status)


def _opened(door: Visit, form: Form | None = None) -> tuple[Reader, StandingPage]:
    with door.reading() as (book, doing):
        lots, reader = standing_lots(book, doing), door.reader(book, doing)
        growers, known = growers_named(book, doing), crops(book, doing)
        week = this_week(book, doing)
    form = form or standing_form(growers, known, week, reader.reading)
    return reader, standing_page(lots, growers, known, form, reader.reading)


def _found(door: Visit, number: int) -> tuple[Reader, StandingLot, str]:
    """The lot, and what it is called."""
    with door.reading() as (book, doing):
        lots, reader = standing_lots(book, doing), door.reader(book, doing)
        found = next((each for each in lots if each.number == number), None)
        if found is None:
            raise NoSuchThing(f"there is no standing lot {number}")
        return reader, found, name_of(found, dict(crops(book, doing)), reader.reading)


def _end_page(lot: StandingLot, name: str, form: Form | None, reading: Reading) -> SurePage:
    say = reading.say
    return SurePage(
        title=say("End %(lot)s?", lot=name),
        detail=say("What is noted already of later weeks stays: let it go by itself."),
        form=form or end_form(lot, reading),
        back=Link(say("Keep it as it is"), WHERE),
    )


def _wanted(posted: Posted, reading: Reading) -> StandingWanted:
    taken = Taken(posted, reading)
    values = {
        "grower_id": taken.text("grower"),
        "card_id": taken.text("crop"),
        "field_kg": kg(taken.weight("weight")),
        "weekday": taken.whole("weekday"),
        "at": f"{taken.clock('at'):%H:%M}",
        "first": taken.text("first"),
        "may_split": taken.yes("may_split"),
        "second_pair": taken.yes("second_pair"),
        "remark": taken.text("remark", needed=False),
    }
    return taken.body(StandingWanted, values)
