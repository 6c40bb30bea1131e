"""GET and POST /tell-us-whats-coming: a harvest note with its answer at once."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from api.records.notes import NoteEntry
from api.schemas.answer import answer_in_json
from api.schemas.note import NoteWanted
from api.services.errors import NotAllowed
from api.services.notes import Said
from api.services.noting import Tell, look, note_with_answer
from api.services.once import Told
from api.services.own_lots import crops
from api.services.ports import Book
from api.services.roles import Act, Doing, whose
from scheduler.errors import BadInput
from scheduler.units import kg
from web.pages.paper import print_page
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit, as_told
from web.views.answer import AnswerShown, kept_answer
from web.views.reader import Reader, Undo
from web.views.reading import Reading
from web.views.tell import ADDRESS, ANSWER, NAMES, TellPage, tell_form

router = APIRouter(include_in_schema=False)


@router.get(ADDRESS)
def tell(door: AtDoor) -> Response:
    reader, page, _ = _opened(door)
    return door.show(page, reader)


@router.post(ADDRESS)
def told(door: AtDoor, posted: AtForm) -> Response:
    """Looked at only, or told to the kitchen, as the button says."""
    reader, page, grower_id = _opened(door)
    reading = reader.reading
    form = page.form.filled(posted.said, posted.key)
    try:
        said = said_in(posted, reading, grower_id)
        if posted.said.get("do") == "look":
            found = kept_answer(look(door, said, words=answer_in_json), reading)
            return door.show(TellPage(form, page.look, found), reader)
        kept = note_with_answer(
            door, said, posted.request, words=answer_in_json, tell=_as_told(reading)
        )
    except BadInput as error:
        refused = form.refused(error, reading, NAMES)
        return door.show(TellPage(refused, page.look), reader, 422)
    return door.onward(kept)


@router.post(ANSWER)
def answer(door: AtDoor, posted: AtForm) -> Response:
    """The answer alone, for the script that asks while she types; nothing while it is not whole."""
    reader, _, grower_id = _opened(door)
    try:
        said = said_in(posted, reader.reading, grower_id)
        found = kept_answer(look(door, said, words=answer_in_json), reader.reading)
    except BadInput:
        return Response(status_code=204)
    return print_page(found or AnswerShown(), reader=reader)


def _opened(door: Visit) -> tuple[Reader, TellPage, str]:
    """The empty form, and whose notes it makes."""
    with door.reading() as (book, doing):
        grower_id = whose(doing, Act.NOTE)
        if grower_id is None:
            raise NotAllowed("this page is for growers; note for them among the harvest notes")
        reader, found = door.reader(book, doing), crops(book, doing)
    reading = reader.reading
    page = TellPage(tell_form(found, reading), reading.say("What would it be?"))
    return reader, page, grower_id


def said_in(posted: Posted, reading: Reading, grower_id: str) -> Said:
    """What the form says of a harvest of that grower; BadInput with every fault."""
    taken = Taken(posted, reading)
    values = {
        "grower_id": grower_id,
        "card_id": taken.text("crop"),
        "field_kg": kg(taken.weight("weight")),
        "arrives": taken.moment("day", "at"),
        "may_split": taken.yes("may_split"),
        "second_pair": taken.yes("second_pair"),
        "remark": taken.text("remark", needed=False),
    }
    return taken.body(NoteWanted, values).said()


def _as_told(reading: Reading) -> Tell:
    def tell(book: Book, doing: Doing, entry: NoteEntry) -> Told:
        where = f"/my-lots/{entry.id}"
        undo = Undo(
            f"{where}/let-go", reading.say("Take it back"), (("version", str(entry.version)),)
        )
        return as_told(Onward(where, reading.say("The kitchen has it."), undo))

    return tell
