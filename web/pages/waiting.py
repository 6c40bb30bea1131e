"""GET /waiting-list, and POST of a remedy: what a note waits for, one press away."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import Response

from api.schemas.answer import answer_in_json
from api.schemas.body import MOST_NUMBER, Id
from api.services.doing_remedies import (
    hours_as_before,
    kitchen_now,
    let_go_of_wishes,
    stay_longer,
)
from api.services.noting import change_with_answer
from api.services.once import told_before
from api.services.ports import Book
from api.services.remedies import remedy_for, waiting_in
from api.services.roles import Act, Doing, must
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.desk_note import as_it_was
from web.views.harvest_notes import ADDRESS as NOTES
from web.views.plain import EmptyPage
from web.views.reader import Undo
from web.views.reading import Reading
from web.views.waiting import ADDRESS, waiting_page

router = APIRouter(include_in_schema=False)


@router.get(ADDRESS)
def waiting(
    door: AtDoor, plan: Annotated[int | None, Query(ge=1, le=MOST_NUMBER)] = None
) -> Response:
    """Of the plan laid out last, or of the one named."""
    with door.reading() as (book, doing):
        must(doing, Act.READ_WEEK)
        reader = door.reader(book, doing)
        found = waiting_in(book, doing, plan)
        if found is None:
            return door.show(EmptyPage(lay_out=doing.reach(Act.LAY_OUT) == "all"), reader)
        page = waiting_page(*found, reader.reading, doing=doing, now=kitchen_now(book))
    return door.show(page, reader)


@router.post(f"{ADDRESS}/{{note_id}}/remedy")
def remedy(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    """The note is changed so; the next lay-out gives it its place."""
    with door.reading() as (book, doing):
        must(doing, Act.CHANGE_NOTE)
        reading = door.reader(book, doing).reading
        again = told_before(book, doing, posted.request)
        if again is not None:
            return door.onward(again)
        taken = Taken(posted, reading)
        plan, version = taken.whole("plan"), taken.whole("version")
        taken.must_be_right()
        to = remedy_for(book, doing, plan, note_id)
        before = book.notes.last(id=note_id)
        assert before is not None
    doing_it = change_with_answer(door, note_id, to, version=version, words=answer_in_json)

    def do(book: Book, doing: Doing) -> Onward:
        entry = doing_it(book, doing)
        fields = as_it_was(before, reading) | {"version": str(entry.version)}
        undo = Undo(f"{NOTES}/{note_id}/change", reading.say("Undo"), tuple(fields.items()))
        if doing.reach(Act.LAY_OUT) == "all":
            told = reading.say("%(note)s is changed. Lay out again to see its place.", note=note_id)
            return Onward(f"/lay-out?week={entry.week}", told, undo)
        told = reading.say("%(note)s is changed. The next lay-out shows its place.", note=note_id)
        return Onward(f"{ADDRESS}?plan={plan}", told, undo)

    return door.once(posted, do)


@router.post(f"{ADDRESS}/{{note_id}}/hours")
def longer(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    """The kitchen is staffed an hour longer on that weekday; undone, it is as before."""
    reading, (plan, version) = _numbers(door, posted, "plan", "version")

    def do(book: Book, doing: Doing) -> Onward:
        kept = stay_longer(book, doing, plan, note_id, version=version)
        fields = (("before", str(version)), ("version", str(kept.number)))
        undo = Undo(f"{ADDRESS}/hours-as-before", reading.say("Undo"), fields)
        told = reading.say("The kitchen's hours are changed. Lay out again to see who fits.")
        return Onward(f"{ADDRESS}?plan={plan}", told, undo)

    return door.once(posted, do)


@router.post(f"{ADDRESS}/hours-as-before")
def as_before(door: AtDoor, posted: AtForm) -> Response:
    reading, (before, version) = _numbers(door, posted, "before", "version")

    def do(book: Book, doing: Doing) -> Onward:
        hours_as_before(book, doing, before, version=version)
        return Onward(ADDRESS, reading.say("The kitchen's hours are as before."))

    return door.once(posted, do)


@router.post(f"{ADDRESS}/{{note_id}}/unpin")
def unpinned(door: AtDoor, note_id: Id, posted: AtForm) -> Response:
    """What is pinned, forbidden or left free in its way is let go of."""
    reading, (plan,) = _numbers(door, posted, "plan")

    def do(book: Book, doing: Doing) -> Onward:
        gone = let_go_of_wishes(book, doing, plan, note_id)
        told = reading.say("It is wished no longer. Lay out again to see who fits.")
        return Onward(f"/pinned/{gone[0].week}", told)

    return door.once(posted, do)


def _numbers(door: Visit, posted: Posted, *names: str) -> tuple[Reading, list[int]]:
    """Hidden numbers of a form of one button."""
    with door.reading() as (book, doing):
        reading = door.reader(book, doing).reading
    taken = Taken(posted, reading)
    numbers = [taken.whole(name) for name in names]
    taken.must_be_right()
    return reading, numbers
