"""A true weight that is far from what was noted is asked for once more: it cannot be taken back."""

from __future__ import annotations

from api.services.at_the_door import far_off, noted_g
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.errors import BadInput, InputFault
from scheduler.units import Grams
from web.pages.posted import Posted
from web.views.reading import Reading

SURE = "sure"


def must_be_near(
    book: Book, doing: Doing, note_id: str, *, weighed_g: Grams, posted: Posted, reading: Reading
) -> None:
    """BadInput at the box "sure", unless that is ticked."""
    noted = noted_g(book, doing, note_id)
    if noted is None or SURE in posted.said or not far_off(noted, weighed_g):
        return
    told = reading.say(
        "%(weighed)s is far from the %(noted)s noted: look at the scales again",
        weighed=reading.weight(weighed_g),
        noted=reading.weight(noted),
    )
    raise BadInput((InputFault("door", None, SURE, told),))


def asks_sure(error: BadInput) -> bool:
    """Whether it is that which is wrong."""
    return any(each.field == SURE for each in error.faults)
