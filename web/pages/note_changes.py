"""A harvest note changed by the kitchen, carried over, let go, stood down, or nobody came."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from api.schemas.answer import answer_in_json
from api.schemas.body import Id
from api.schemas.note import CarryOver
from api.services.errors import NoSuchThing
from api.services.notes import ENDS, carry_over, end
from api.services.noting import change_with_answer
from api.services.own_lots import OwnLot, anybodys_lot
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from web.pages.my_lots import changes_in
from web.pages.posted import AtForm, Taken
from web.pages.refusing import KEEPS_FORM, refused
from web.pages.visit import AtDoor, Onward, Visit
from web.views.desk_note import WORDS, as_it_was, carry_form, desk_change_form, end_form
from web.views.form import Form
from web.views.harvest_notes import ADDRESS
from web.views.links import Link
from web.views.plain import FormPage, SurePage
from web.views.reader import Reader, Undo
from web.views.reading import Reading
from web.views.tell import NAMES

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{note_id}}"


@router.get(f"{ONE}/change")
def change(door: AtDoor, note_id: Id) -> Response:
    own, reader = _opened(door, note_id, Act.CHANGE_NOTE)
    form = desk_change_form(own, reader.reading)
    return door.show(_change_page(own, form, reader.reading), reader)


@router.post(f"{ONE}/change")
def changed(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    own, reader = _opened(door, note_id, Act.CHANGE_NOTE)
    reading, where = reader.reading, f"{ADDRESS}/{note_id}"
    form = desk_change_form(own, reading)
    try:
        to, version = changes_in(posted, form, reading)
        doing_it = change_with_answer(door, note_id, to, version=version, words=answer_in_json)

        def do(book: Book, doing: Doing) -> Onward:
            entry = doing_it(book, doing)
            before = as_it_was(own.entry, reading) | {"version": str(entry.version)}
            undo = Undo(f"{where}/change", reading.say("Undo"), tuple(before.items()))
            return Onward(where, reading.say("Changed."), undo)

        return door.once(posted, do)
    except KEEPS_FORM as error:
        kept, status = refused(form, posted, error, reading, names=NAMES)
        return door.show(_change_page(own, kept, reading), reader, status)


@router.get(f"{ONE}/carry-over")
def carry(door: AtDoor, note_id: Id) -> Response:
    own, reader = _opened(door, note_id, Act.CARRY_OVER)
    return door.show(_carry_page(own, carry_form(own.entry, reader.reading), reader), reader)


@router.post(f"{ONE}/carry-over")
def carried(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    own, reader = _opened(door, note_id, Act.CARRY_OVER)
    reading, form = reader.reading, carry_form(own.entry, reader.reading)
    taken = Taken(posted, reading)
    try:
        version, arrives = taken.whole("version"), taken.moment("day", "at")
        wanted = taken.body(CarryOver, {"arrives": arrives})

        def do(book: Book, doing: Doing) -> Onward:
            anew = carry_over(book, doing, note_id, version=version, arrives=wanted.arrives)
            told = reading.say(
                "Carried over into %(week)s as %(note)s.", week=str(anew.week), note=anew.id
            )
            return Onward(f"{ADDRESS}/{anew.id}", told)

        return door.once(posted, do)
    except KEEPS_FORM as error:
        kept, status = refused(form, posted, error, reading, names=NAMES)
        return door.show(_carry_page(own, kept, reader), reader, status)


@router.get(f"{ONE}/{{word}}")
def sure(door: AtDoor, note_id: Id, word: str) -> Response:
    own, reader = _opened(door, note_id, _act_of(word))
    say, (_, _, title) = reader.reading.say, WORDS[word]
    page = SurePage(
        title=say(title),
        detail=say(
            "%(crop)s, %(weight)s: its turns end with it, and its place is given to others."
            " It cannot be taken back.",
            crop=f"{note_id} {own.card.name}",
            weight=reader.reading.weight(own.entry.field_g),
        ),
        form=end_form(own.entry, word, reader.reading),
        back=Link(say("Keep it as it is"), f"{ADDRESS}/{note_id}"),
    )
    return door.show(page, reader)


@router.post(f"{ONE}/{{word}}")
def ended(door: AtDoor, note_id: Id, word: str, posted: AtForm) -> Response:
    own, reader = _opened(door, note_id, _act_of(word))
    state, reading = WORDS[word][0], reader.reading
    taken = Taken(posted, reading)
    version = taken.whole("version")
    taken.must_be_right()

    def do(book: Book, doing: Doing) -> Onward:
        end(book, doing, note_id, version=version, state=state)
        told = reading.say("%(note)s is over: %(state)s.", note=note_id, state=reading.say(state))
        return Onward(f"{ADDRESS}?week={own.entry.week}", told)

    return door.once(posted, do)


def _act_of(word: str) -> Act:
    if word not in WORDS:
        raise NoSuchThing(f"a note cannot be ended by {word!r}")
    return ENDS[WORDS[word][0]]


def _opened(door: Visit, note_id: str, act: Act) -> tuple[OwnLot, Reader]:
    """For who may do that with it."""
    with door.reading() as (book, doing):
        must(doing, act)
        return anybodys_lot(book, doing, note_id), door.reader(book, doing)


def _change_page(own: OwnLot, form: Form, reading: Reading) -> FormPage:
    say = reading.say
    title = say("Change %(crop)s", crop=f"{own.entry.id} {own.card.name}")
    if own.entry.state != "firm":
        return FormPage(title, say("It keeps its place in the order of call."), form)
    told = say(
        "It is firm: its weight and times are promised. For others let it go and note it anew."
    )
    return FormPage(title, told, form)


def _carry_page(own: OwnLot, form: Form, reader: Reader) -> SurePage:
    say = reader.reading.say
    return SurePage(
        title=say("Carry over %(crop)s", crop=f"{own.entry.id} {own.card.name}"),
        detail=say(
            "It ends in this week and begins anew in a later one, as fresh as it was."
            " The grower is told. It cannot be taken back."
        ),
        form=form,
        back=Link(say("Keep it as it is"), f"{ADDRESS}/{own.entry.id}"),
    )
