"""/places/{note}, its /later, and /waiting-list/room/{week}: one lot anew, at one press."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter
from fastapi.responses import Response

from api.records.notes import NoteEntry
from api.schemas.body import Id, WeekText
from api.schemas.place import LaterWanted, PlaceWanted
from api.services.house import card_of, grower_of
from api.services.notes import note
from api.services.places import PlanBroken, Ways, comes_later, look_later, offers, take, ways
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from web.pages.posted import AtForm, Taken
from web.pages.refusing import KEEPS_FORM, refused
from web.pages.visit import AtDoor, Onward, Visit
from web.views.places import (
    ADDRESS,
    NONE,
    ROOM,
    broken_page,
    later_form,
    later_page,
    place_address,
    places_page,
    room_page,
)
from web.views.reader import Reader

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{note_id}}"


@router.get(ONE)
def one(door: AtDoor, note_id: Id) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        found = ways(book, doing, note_id)
        mend = doing.reach(Act.MEND) == "all"
        crop = card_of(book, found.entry.card_id).name
    return door.show(places_page(found, reader.reading, crop=crop, mend=mend), reader)


@router.post(ONE)
def taken(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    """One press: the place is posted; from the room for those who wait one comes back there."""
    with door.reading() as (book, doing):
        must(doing, Act.PLACE)
        reading = door.reader(book, doing).reading
        week = note(book, doing, note_id, Act.PLACE).week
    said = Taken(posted, reading)
    wanted = said.body(PlaceWanted, {"kind": said.text("kind")})
    where = f"{ROOM}/{week}" if posted.said.get("to") else place_address(note_id)

    def do(book: Book, doing: Doing) -> Onward:
        take(book, doing, note_id, wanted.kind)
        return Onward(
            where, reading.say("%(note)s has its place; its grower is told.", note=note_id)
        )

    return door.once(posted, do)


@router.get(f"{ONE}/later")
def later(door: AtDoor, note_id: Id) -> Response:
    entry, crop, reader = _opened(door, note_id)
    form = later_form(entry, reader.reading)
    return door.show(later_page(entry, form, reader.reading, crop=crop), reader)


@router.post(f"{ONE}/later")
def look(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    """What it would have at that time; nothing is kept."""
    entry, crop, reader = _opened(door, note_id)
    reading = reader.reading
    try:
        said = Taken(posted, reading)
        version, arrives = said.whole("version"), said.moment("day", "at")
        said.body(LaterWanted, {"arrives": arrives})
        found, mend = _looked(door, note_id, version, arrives)
        page = places_page(found, reading, crop=crop, later=arrives, mend=mend)
        return door.show(page, reader)
    except KEEPS_FORM as error:
        form, status = refused(later_form(entry, reading), posted, error, reading)
        return door.show(later_page(entry, form, reading, crop=crop), reader, status)


def _looked(door: Visit, note_id: str, version: int, arrives: datetime) -> tuple[Ways, bool]:
    with door.rehearsing() as (book, doing):
        found = look_later(book, doing, note_id, version=version, arrives=arrives)
        return found, doing.reach(Act.MEND) == "all"


@router.post(f"{ONE}/later/keep")
def keep(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    """With that time: its turn holds, it takes that way, or its turns end."""
    _, _, reader = _opened(door, note_id)
    reading = reader.reading
    said = Taken(posted, reading)
    version, kind = said.whole("version"), said.text("kind")
    values = {"arrives": said.text("arrives"), "kind": None if kind == NONE else kind}
    wanted = said.body(LaterWanted, values)

    def do(book: Book, doing: Doing) -> Onward:
        entry = comes_later(
            book, doing, note_id, version=version, arrives=wanted.arrives, kind=wanted.kind
        )
        told = reading.say(
            "%(note)s comes %(at)s. It is %(state)s.",
            note=note_id,
            at=reading.moment(entry.arrives),
            state=reading.say(entry.state),
        )
        return Onward(f"/harvest-notes/{note_id}", told)

    return door.once(posted, do)


def _opened(door: Visit, note_id: str) -> tuple[NoteEntry, str, Reader]:
    with door.reading() as (book, doing):
        must(doing, Act.PLACE)
        entry = note(book, doing, note_id, Act.PLACE)
        return entry, card_of(book, entry.card_id).name, door.reader(book, doing)


@router.get(f"{ROOM}/{{week}}")
def room(door: AtDoor, week: WeekText) -> Response:
    with door.reading() as (book, doing):
        must(doing, Act.PLACE)
        reader = door.reader(book, doing)
        mend = doing.reach(Act.MEND) == "all"
        try:
            found = offers(book, doing, Week.parse(week))
        except PlanBroken:
            return door.show(broken_page(Week.parse(week), reader.reading, mend=mend), reader)
        names = {each.entry.id: _named(book, each.entry) for each in found}
    return door.show(room_page(Week.parse(week), found, reader.reading, names=names), reader)


def _named(book: Book, entry: NoteEntry) -> str:
    grower = grower_of(book, entry.grower_id)
    return f"{card_of(book, entry.card_id).name}, {grower.name}"
