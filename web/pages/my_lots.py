"""GET /my-lots and one lot; changing it and letting it go."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import Response

from api.schemas.answer import answer_in_json
from api.schemas.body import Id
from api.schemas.note import NoteChange
from api.services.notes import end
from api.services.noting import change_with_answer
from api.services.own_lots import OwnLot, own_lot, own_lots
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.units import kg
from web.pages.posted import AtForm, Posted, Taken
from web.pages.refusing import KEEPS_FORM, refused
from web.pages.visit import AtDoor, Onward, Visit
from web.views.form import Form
from web.views.links import Link
from web.views.my_lots import ADDRESS, as_it_was, change_form, let_go_form, lot_page, my_lots_page
from web.views.plain import FormPage, SurePage
from web.views.reader import Reader, Undo
from web.views.reading import Reading
from web.views.tell import NAMES

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{note_id}}"


@router.get(ADDRESS)
def my_lots(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        page = my_lots_page(
            own_lots(book, doing),
            reader.reading,
            now=doing.at,
            may_tell=doing.reach(Act.NOTE) == "own",
            fees=doing.reach(Act.READ_FEES) == "own",
        )
    return door.show(page, reader)


@router.get(ONE)
def lot(door: AtDoor, note_id: Id) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        page = lot_page(
            own_lot(book, doing, note_id),
            reader.reading,
            now=doing.at,
            may_change=doing.reach(Act.CHANGE_NOTE) == "own",
        )
    return door.show(page, reader)


@router.get(f"{ONE}/change")
def change(door: AtDoor, note_id: Id) -> Response:
    own, reader = _opened(door, note_id)
    form = change_form(own, reader.reading)
    return door.show(_change_page(own, form, reader.reading), reader)


@router.post(f"{ONE}/change")
def changed(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    own, reader = _opened(door, note_id)
    reading, where = reader.reading, f"{ADDRESS}/{note_id}"
    form = change_form(own, reading)
    try:
        to, version = changes_in(posted, form, reading)
        doing_it = change_with_answer(door, note_id, to, version=version, words=answer_in_json)

        def do(book: Book, doing: Doing) -> Onward:
            entry = doing_it(book, doing)
            before = as_it_was(own, reading) | {"version": str(entry.version)}
            undo = Undo(f"{where}/change", reading.say("Undo"), tuple(before.items()))
            return Onward(where, reading.say("Changed."), undo)

        return door.once(posted, do)
    except KEEPS_FORM as error:
        kept, status = refused(form, posted, error, reading, names=NAMES)
        return door.show(_change_page(own, kept, reading), reader, status)


@router.get(f"{ONE}/let-go")
def sure(door: AtDoor, note_id: Id) -> Response:
    own, reader = _opened(door, note_id)
    say = reader.reading.say
    page = SurePage(
        title=say("Let it go?"),
        detail=say(
            "%(crop)s, %(weight)s: its turns end with it, and its place is given to others."
            " It cannot be taken back.",
            crop=own.card.name,
            weight=reader.reading.weight(own.entry.field_g),
        ),
        form=let_go_form(own, reader.reading),
        back=Link(say("Keep it as it is"), f"{ADDRESS}/{note_id}"),
    )
    return door.show(page, reader)


@router.post(f"{ONE}/let-go")
def let_go(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    _, reader = _opened(door, note_id)
    taken = Taken(posted, reader.reading)
    version = taken.whole("version")
    taken.must_be_right()

    def do(book: Book, doing: Doing) -> Onward:
        end(book, doing, note_id, version=version, state="let go")
        return Onward(ADDRESS, reader.reading.say("Let go. Tell us anew if it comes after all."))

    return door.once(posted, do)


def _opened(door: Visit, note_id: str) -> tuple[OwnLot, Reader]:
    """For who may change it."""
    with door.reading() as (book, doing):
        own = own_lot(book, doing, note_id)
        must(doing, Act.CHANGE_NOTE)
        return own, door.reader(book, doing)


def _change_page(own: OwnLot, form: Form, reading: Reading) -> FormPage:
    say = reading.say
    title = say("Change %(crop)s", crop=own.card.name)
    if own.entry.state != "firm":
        return FormPage(title, say("It keeps its place in the order of call."), form)
    told = say(
        "It is firm: its weight and time are promised. For another weight or time let it go and"
        " tell us anew, or ring the kitchen."
    )
    return FormPage(title, told, form)


def changes_in(posted: Posted, form: Form, reading: Reading) -> tuple[dict[str, Any], int]:
    """What is changed, and of which version; a weight or time that stands as it stood stays.

    Where the latest start stands in the form it is sent with another arrival, to be as it is shown.
    """
    taken = Taken(posted, reading)
    version = taken.whole("version")
    values: dict[str, object] = {
        "may_split": taken.yes("may_split"),
        "second_pair": taken.yes("second_pair"),
        "remark": taken.text("remark", needed=False),
    }
    asked = {each.name for each in form.fields}

    def differs(*names: str) -> bool:
        return any(
            name in asked and posted.said.get(name, "") != form.said.get(name) for name in names
        )

    if differs("weight"):
        values["field_kg"] = kg(taken.weight("weight"))
    if differs("day", "at"):
        values["arrives"] = taken.moment("day", "at")
    if differs("latest_day", "latest_at") or ("latest_day" in asked and "arrives" in values):
        values["latest_start"] = taken.moment("latest_day", "latest_at")
    return taken.body(NoteChange, values).to(), version
