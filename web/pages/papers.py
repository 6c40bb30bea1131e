"""GET /papers: papers in order; GET and POST of one that was seen."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import Response

from api.records.house import KeptPaper
from api.schemas.body import Id
from api.schemas.papers import ApprovalWanted, PaperWanted
from api.services.coming import kept_from_firm, touched_by
from api.services.errors import NoSuchThing
from api.services.house import today_of
from api.services.papers import (
    GrowersPapers,
    card_approved,
    last_deed,
    letters,
    paper_seen,
    papers,
    take_back,
)
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.form import Form
from web.views.links import Link
from web.views.papers import ADDRESS, helpers_of, letter_form, named, paper_form, papers_page
from web.views.plain import NoKitchenPage, SurePage
from web.views.reader import Reader, Undo
from web.views.reading import Reading

router = APIRouter(include_in_schema=False)
OF_GROWER, OF_CARD = f"{ADDRESS}/growers/{{grower_id}}", f"{ADDRESS}/cards/{{card_id}}"
Said = Annotated[str, Query(max_length=80)]


@router.get(ADDRESS)
def in_order(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        if must(doing, Act.READ_PAPERS) == "all" and book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
        reader = door.reader(book, doing)
        page = papers_page(
            papers(book, doing),
            letters(book, doing),
            kept_from_firm(book, doing),
            reader.reading,
            today=today_of(book, doing.at),
        )
    return door.show(page, reader)


@router.get(OF_GROWER)
def paper(door: AtDoor, grower_id: Id, *, kind: Said = "", helper: Said = "") -> Response:
    reader, found = _grower(door, grower_id)
    form = paper_form(found, {"kind": kind, "helper": helper}, reader.reading)
    return door.show(_paper_page(found, form, reader.reading), reader)


@router.post(OF_GROWER)
def seen(door: AtDoor, grower_id: Id, posted: AtForm) -> Response:
    reader, found = _grower(door, grower_id)
    reading = reader.reading
    try:
        wanted = _wanted(posted, found, reading)
    except BadInput as error:
        form = paper_form(found, {}, reading).filled(posted.said, posted.key)
        page = _paper_page(found, form.refused(error, reading), reading)
        return door.show(page, reader, 422)

    def do(book: Book, doing: Doing) -> Onward:
        kept = KeptPaper(grower_id, wanted.helper, wanted.kind, wanted.until, "", doing.at)
        undo = _undo(book, paper_seen(book, doing, kept), reading)
        return Onward(ADDRESS, _touched(book, doing, kept, reading), undo)

    return door.once(posted, do)


@router.post(f"{OF_GROWER}/undo")
def undone(door: AtDoor, grower_id: Id, posted: AtForm) -> Response:
    """As it stood before, with who saw it then; not where it was written down anew since."""
    reader, _ = _grower(door, grower_id)
    taken = Taken(posted, reader.reading)
    deed = taken.whole("deed")
    taken.must_be_right()

    def do(book: Book, doing: Doing) -> Onward:
        before = take_back(book, doing, grower_id, deed)
        told = reader.reading.say("%(kind)s: as it was before.", kind=before.kind)
        return Onward(ADDRESS, told)

    return door.once(posted, do)


@router.get(OF_CARD)
def letter(door: AtDoor, card_id: Id) -> Response:
    reader, name = _card(door, card_id)
    return door.show(_letter_page(name, letter_form(card_id, reader.reading), reader), reader)


@router.post(OF_CARD)
def letter_seen(door: AtDoor, card_id: Id, posted: AtForm) -> Response:
    reader, name = _card(door, card_id)
    reading = reader.reading
    taken = Taken(posted, reading)
    try:
        until = taken.day("until") if posted.said.get("until") else None
        values = {"letter": taken.text("letter"), "until": until}
        wanted = taken.body(ApprovalWanted, values)
    except BadInput as error:
        form = letter_form(card_id, reading).filled(posted.said, posted.key)
        return door.show(_letter_page(name, form.refused(error, reading), reader), reader, 422)

    def do(book: Book, doing: Doing) -> Onward:
        card_approved(book, doing, card_id, letter=wanted.letter, until=wanted.until)
        return Onward(ADDRESS, reading.say("The letter for %(card)s is written down.", card=name))

    return door.once(posted, do)


def _wanted(posted: Posted, found: GrowersPapers, reading: Reading) -> PaperWanted:
    """A new helper only where one is named on purpose."""
    taken = Taken(posted, reading)
    helper = taken.choice("helper", ("", *helpers_of(found)))
    another = taken.text("another", needed=False)
    if helper and another:
        taken.fault("another", reading.say("choose one or name a new one, not both"))
    values = {
        "kind": taken.text("kind"),
        "helper": another or helper,
        "until": _until(taken, posted, reading),
    }
    return taken.body(PaperWanted, values)


def _until(taken: Taken, posted: Posted, reading: Reading) -> date | None:
    """Its last day; None for a paper that is missing on purpose, never by an empty field."""
    missing = taken.yes("missing")
    if missing and posted.said.get("until"):
        taken.fault("missing", reading.say("choose a last day or that it is missing, not both"))
    return None if missing else taken.day("until")


def _touched(book: Book, doing: Doing, paper: KeptPaper, reading: Reading) -> str:
    """That it is written down, and which of her notes cannot be firm as they are."""
    told = reading.say("%(kind)s: written down.", kind=paper.kind)
    notes = [each.entry.id for each in touched_by(book, doing, paper.grower_id)]
    if not notes:
        return told
    short = reading.say("Not firm by rule 15: %(notes)s.", notes=reading.listed(notes))
    return f"{told} {short}"


def _undo(book: Book, paper: KeptPaper, reading: Reading) -> Undo | None:
    """None where nothing stood there before."""
    deed = last_deed(book, paper)
    if deed is None or not deed.told["before"]:
        return None
    where = f"{ADDRESS}/growers/{paper.grower_id}/undo"
    return Undo(where, reading.say("Undo"), (("deed", str(deed.number)),))


def _grower(door: Visit, grower_id: str) -> tuple[Reader, GrowersPapers]:
    """For who may keep papers."""
    with door.reading() as (book, doing):
        must(doing, Act.KEEP_PAPERS)
        every = papers(book, doing)
        found = next((each for each in every if each.grower.id == grower_id), None)
        if found is None:
            raise NoSuchThing(f"there is no grower {grower_id}")
        return door.reader(book, doing), found


def _card(door: Visit, card_id: str) -> tuple[Reader, str]:
    with door.reading() as (book, doing):
        must(doing, Act.KEEP_PAPERS)
        found = book.cards.find(card_id)
        if found is None:
            raise NoSuchThing(f"there is no process card {card_id}")
        return door.reader(book, doing), found.card.name


def _paper_page(found: GrowersPapers, form: Form, reading: Reading) -> SurePage:
    say = reading.say
    detail = say("Write down only what you have seen yourself; your name is kept with it.")
    return SurePage(named(found.grower), detail, form, _back(reading))


def _letter_page(name: str, form: Form, reader: Reader) -> SurePage:
    say = reader.reading.say
    detail = say(
        "The process authority's letter for this card, as you have seen it yourself. Without a last"
        " day it holds until another is written down."
    )
    title = say("Process letter for %(card)s", card=name)
    return SurePage(title, detail, form, _back(reader.reading))


def _back(reading: Reading) -> Link:
    return Link(reading.say("Papers in order"), ADDRESS)
