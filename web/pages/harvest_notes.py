"""GET /harvest-notes: a week's notes; one of them; one noted for a grower who rang."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import Response

from api.records.notes import NoteEntry
from api.routes.weeks import week_of
from api.schemas.answer import answer_in_json
from api.schemas.body import Id
from api.services.coming import coming, growers_named, this_week, week_to_show, weeks_noted
from api.services.errors import NotAllowed
from api.services.house import grower_of
from api.services.noting import Tell, look, note_with_answer
from api.services.once import Told
from api.services.own_lots import anybodys_lot, crops
from api.services.ports import Book
from api.services.roles import Act, Doing, whose
from scheduler.errors import BadInput
from web.pages.paper import print_page
from web.pages.posted import AtForm, Taken
from web.pages.tell import said_in
from web.pages.visit import AtDoor, Onward, Visit, as_told
from web.views.answer import AnswerShown, kept_answer
from web.views.desk_note import desk_note_page, note_in_form
from web.views.harvest_notes import ADDRESS, Narrowed, notes_page
from web.views.links import Link
from web.views.plain import NoKitchenPage
from web.views.reader import Reader, Undo
from web.views.reading import Reading
from web.views.tell import NAMES, NoteInPage

router = APIRouter(include_in_schema=False)
NEW = f"{ADDRESS}/new"
Choice = Annotated[str, Query(max_length=60)]


@router.get(ADDRESS)
def harvest_notes(
    door: AtDoor,
    *,
    week: Choice = "",
    show: Choice = "asking",
    grower: Choice = "",
    crop: Choice = "",
    order: Choice = "called",
) -> Response:
    with door.reading() as (book, doing):
        _kitchen(doing)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
        shown = week_of(week) if week else week_to_show(book, doing)
        reader = door.reader(book, doing)
        page = notes_page(
            coming(book, doing, shown),
            Narrowed(shown, show, grower, crop, order),
            reader.reading,
            weeks=weeks_noted(book, doing),
            links=tuple(_links(doing, reader.reading)),
            may_call=shown >= this_week(book, doing) and doing.reach(Act.KEEP_STANDING) == "all",
        )
    return door.show(page, reader)


def _links(doing: Doing, reading: Reading) -> list[Link]:
    every = (
        (Act.NOTE, reading.say("Note a harvest"), NEW),
        (Act.IMPORT_NOTES, reading.say("Take in many from a file"), f"{ADDRESS}/import"),
        (Act.RING, reading.say("Call list"), f"{ADDRESS}/call-list"),
        (Act.KEEP_STANDING, reading.say("Standing lots"), f"{ADDRESS}/standing-lots"),
    )
    return [Link(text, href) for act, text, href in every if doing.reach(act) == "all"]


def _kitchen(doing: Doing) -> None:
    if whose(doing, Act.READ_NOTES) is not None:
        raise NotAllowed("this page is for the kitchen; your own are under My lots")


@router.get(NEW)
def new(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        _for_anybody(doing)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
    reader, page = _opened(door)
    return door.show(page, reader)


@router.post(NEW)
def noted(door: AtDoor, posted: AtForm) -> Response:
    """Looked at only, or noted, as the button says."""
    reader, page = _opened(door)
    reading, form = reader.reading, page.form.filled(posted.said, posted.key)
    try:
        said = said_in(posted, reading, Taken(posted, reading).text("grower"))
        if posted.said.get("do") == "look":
            found = kept_answer(look(door, said, words=answer_in_json), reading)
            return door.show(NoteInPage(form, page.look, found), reader)
        kept = note_with_answer(
            door, said, posted.request, words=answer_in_json, tell=_as_told(reading)
        )
    except BadInput as error:
        names = NAMES | {"grower_id": "grower"}
        return door.show(NoteInPage(form.refused(error, reading, names), page.look), reader, 422)
    return door.onward(kept)


@router.post(f"{NEW}/answer")
def answer(door: AtDoor, posted: AtForm) -> Response:
    """The answer alone, for the script that asks while it is filled in."""
    reader, _ = _opened(door)
    try:
        said = said_in(posted, reader.reading, posted.said.get("grower", ""))
        found = kept_answer(look(door, said, words=answer_in_json), reader.reading)
    except BadInput:
        return Response(status_code=204)
    return print_page(found or AnswerShown(), reader=reader)


def _for_anybody(doing: Doing) -> None:
    if whose(doing, Act.NOTE) is not None:
        raise NotAllowed("this page is for the kitchen; tell us what's coming on your own")


def _opened(door: Visit) -> tuple[Reader, NoteInPage]:
    with door.reading() as (book, doing):
        _for_anybody(doing)
        reader = door.reader(book, doing)
        form = note_in_form(NEW, growers_named(book, doing), crops(book, doing), reader.reading)
    return reader, NoteInPage(form, reader.reading.say("What would it be?"))


def _as_told(reading: Reading) -> Tell:
    def tell(book: Book, doing: Doing, entry: NoteEntry) -> Told:
        where = f"{ADDRESS}/{entry.id}"
        undo = Undo(f"{where}/let-go", reading.say("Undo"), (("version", str(entry.version)),))
        return as_told(Onward(where, reading.say("Noted."), undo))

    return tell


@router.get(f"{ADDRESS}/{{note_id}}")
def one_note(door: AtDoor, note_id: Id) -> Response:
    with door.reading() as (book, doing):
        reader, own = door.reader(book, doing), anybodys_lot(book, doing, note_id)
        grower = grower_of(book, own.entry.grower_id)
        page = desk_note_page(own, grower, reader.reading, doing=doing)
    return door.show(page, reader)
