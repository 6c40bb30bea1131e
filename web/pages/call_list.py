"""GET /harvest-notes/call-list: whom to ring; POST: that she was rung, and her number."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import Response

from api.routes.weeks import week_of
from api.schemas.body import Id
from api.schemas.call import RungWanted
from api.schemas.house import GrowerChange
from api.services.calls import call_list, ring
from api.services.changing import change_telephone, grower_entry
from api.services.coming import week_to_show, weeks_noted
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput
from web.pages.posted import AtForm, Taken
from web.pages.visit import AtDoor, Onward
from web.views.call_list import ADDRESS, call_list_page, number_page
from web.views.plain import NoKitchenPage
from web.views.reader import Undo

router = APIRouter(include_in_schema=False)
Week = Annotated[str, Query(max_length=20)]


@router.get(ADDRESS)
def calls(door: AtDoor, week: Week = "") -> Response:
    with door.reading() as (book, doing):
        must(doing, Act.RING)
        reader = door.reader(book, doing)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), reader)
        shown = week_of(week) if week else week_to_show(book, doing)
        page = call_list_page(
            call_list(book, doing, shown),
            shown,
            reader.reading,
            weeks=weeks_noted(book, doing),
            may_keep=doing.reach(Act.KEEP_HOUSE) == "all",
        )
    return door.show(page, reader)


@router.post(f"{ADDRESS}/{{grower_id}}/rung")
def rung(door: AtDoor, grower_id: Id, posted: AtForm) -> Response:
    """Or that she was not after all, where the form says so."""
    with door.reading() as (book, doing):
        must(doing, Act.RING)
        reading = door.reader(book, doing).reading
    week, about = week_of(posted.said.get("week", "")), posted.said.get("about", "")
    back = posted.said.get("back") == "yes"
    said = {"grower_id": grower_id, "about": about.split(), "back": back}
    wanted = Taken(posted, reading).body(RungWanted, said)

    def do(book: Book, doing: Doing) -> Onward:
        call = ring(book, doing, week, grower_id, about=wanted.about, back=back)
        where = f"{ADDRESS}?week={week}"
        if back:
            return Onward(where, reading.say("She is to be rung still."))
        fields = (("week", str(week)), ("about", about), ("back", "yes"))
        undo = Undo(f"{ADDRESS}/{grower_id}/rung", reading.say("Undo"), fields)
        return Onward(where, reading.say("%(who)s was rung.", who=call.grower.name), undo)

    return door.once(posted, do)


@router.get(f"{ADDRESS}/{{grower_id}}/number")
def number(door: AtDoor, grower_id: Id, week: Week = "") -> Response:
    with door.reading() as (book, doing):
        found = grower_entry(book, doing, grower_id, Act.KEEP_HOUSE)
        reader = door.reader(book, doing)
    return door.show(number_page(found, reader.reading, week=week), reader)


@router.post(f"{ADDRESS}/{{grower_id}}/number")
def keep_number(door: AtDoor, grower_id: Id, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        found = grower_entry(book, doing, grower_id, Act.KEEP_HOUSE)
        reader = door.reader(book, doing)
    reading, week = reader.reading, posted.said.get("week", "")
    where = f"{ADDRESS}?week={week_of(week)}" if week else ADDRESS
    taken = Taken(posted, reading)
    version, telephone = taken.whole("version"), taken.text("telephone", needed=False)
    try:
        taken.body(GrowerChange, {"telephone": telephone})
    except BadInput as error:
        page = number_page(found, reading, week=week)
        form = page.form.filled(posted.said, posted.key).refused(error, reading)
        return door.show(replace(page, form=form), reader, 422)

    def do(book: Book, doing: Doing) -> Onward:
        change_telephone(book, doing, grower_id, version=version, telephone=telephone)
        return Onward(where, reading.say("Kept."))

    return door.once(posted, do)
