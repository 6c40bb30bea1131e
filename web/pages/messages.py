"""GET /messages: the outbox; POST: that a text was sent, or was not after all."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.schemas.body import MOST_NUMBER
from api.services.messages import mark_sent, mark_unsent, messages
from api.services.ports import Book
from api.services.roles import Doing
from web.pages.posted import AtForm
from web.pages.visit import AtDoor, Onward
from web.views.messages import ADDRESS, messages_page
from web.views.reader import Undo

router = APIRouter(include_in_schema=False)
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(ADDRESS)
def outbox(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        found = messages(book, doing, unsent=True, after=None, limit=None)
        growers = {each.id: f"{each.id} {each.grower.name}" for each in book.growers.where()}
        reader = door.reader(book, doing)
    return door.show(messages_page(found, growers, reader.reading), reader)


@router.post(f"{ADDRESS}/{{number}}/sent")
def sent(door: AtDoor, number: Number, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        reading = door.reader(book, doing).reading

    def do(book: Book, doing: Doing) -> Onward:
        marked = mark_sent(book, doing, number).sent_at
        fields = (("marked", marked.isoformat() if marked else ""),)
        undo = Undo(f"{ADDRESS}/{number}/unsent", reading.say("Undo"), fields)
        return Onward(ADDRESS, reading.say("It is written down as sent."), undo)

    return door.once(posted, do)


@router.post(f"{ADDRESS}/{{number}}/unsent")
def unsent(door: AtDoor, number: Number, posted: AtForm) -> Response:
    """It was not, after all."""
    with door.reading() as (book, doing):
        reading = door.reader(book, doing).reading

    def do(book: Book, doing: Doing) -> Onward:
        mark_unsent(book, doing, number, marked=posted.said.get("marked", ""))
        return Onward(ADDRESS, reading.say("It is to be sent still."))

    return door.once(posted, do)
