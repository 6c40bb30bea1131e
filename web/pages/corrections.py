"""GET and POST /lot-card/{code}/correct: a weight, or bags, written down by mistake."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from api.schemas.body import Id
from api.schemas.lot import CorrectLotWanted
from api.services.corrections import correct_lot
from api.services.errors import NotNow
from api.services.lot_card import lot_card
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.units import kg
from web.pages.posted import AtForm, Taken
from web.pages.refusing import KEEPS_FORM, refused
from web.pages.visit import AtDoor, Onward, Visit
from web.views.form import Form
from web.views.links import Link
from web.views.lot_card import ADDRESS, card_link, correct_form
from web.views.plain import SurePage
from web.views.reader import Reader
from web.views.reading import Reading

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{code}}/correct"
NAMES = {"weighed_kg": "weight"}


@router.get(ONE)
def correct(door: AtDoor, code: Id) -> Response:
    form, reader = _opened(door, code)
    return door.show(_page(form, reader.reading, code), reader)


@router.post(ONE)
def corrected(door: AtDoor, code: Id, posted: AtForm) -> Response:
    form, reader = _opened(door, code)
    reading = reader.reading
    taken = Taken(posted, reading)
    try:
        version, why = taken.whole("version"), taken.text("why")
        packed = any(each.name == "bags" for each in form.fields)
        said = (
            {"bags": taken.whole("bags")} if packed else {"weighed_kg": kg(taken.weight("weight"))}
        )
        wanted = taken.body(CorrectLotWanted, said | {"why": why})

        def do(book: Book, doing: Doing) -> Onward:
            right = wanted.right()
            correct_lot(book, doing, code, version=version, right=right, why=wanted.why)
            return Onward(card_link(code), reading.say("Corrected; what was written first stays."))

        return door.once(posted, do)
    except KEEPS_FORM as error:
        kept, status = refused(form, posted, error, reading, names=NAMES)
        return door.show(_page(kept, reading, code), reader, status)


def _page(form: Form, reading: Reading, code: str) -> SurePage:
    detail = reading.say("It is written beside what was written first, with your name and why.")
    title, back = reading.say("Correct lot %(code)s", code=code), reading.say("Keep it as it is")
    return SurePage(title, detail, form, Link(back, card_link(code)))


def _opened(door: Visit, code: str) -> tuple[Form, Reader]:
    with door.reading() as (book, doing):
        must(doing, Act.CORRECT)
        reader, found = door.reader(book, doing), lot_card(book, doing, code)
    form = correct_form(found, reader.reading)
    if form is None:
        raise NotNow(f"lot {code} is no longer corrected")
    return form, reader
