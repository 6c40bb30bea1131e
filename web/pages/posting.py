"""GET and POST /plans/{number}/post: what posting would do, to whom; and doing it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import Response

from api.records.plans import KeptPlan
from api.schemas.body import MOST_NUMBER
from api.services.errors import ChangedMeanwhile, NotNow
from api.services.plans import plan_for
from api.services.ports import Book
from api.services.posting import OnPurpose, Rehearsed, post, rehearse
from api.services.roles import Act, Doing, must
from web.pages.posted import AtForm
from web.pages.visit import AtDoor, Onward, Visit
from web.views.beside import ADDRESS
from web.views.messages import ADDRESS as OUTBOX
from web.views.posting import DONE, not_posted_page, posted_already_page, posting_page
from web.views.reader import Reader

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{number}}/post"
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]
Yes = Annotated[str, Query(max_length=3)]
PURPOSES = (OnPurpose(moving=True), OnPurpose(over_caps=True), OnPurpose(True, True))  # the least


@router.get(ONE)
def look(door: AtDoor, number: Number, *, moving: Yes = "", over_caps: Yes = "") -> Response:
    reader, _ = _opened(door, number)
    purpose = OnPurpose(bool(moving), bool(over_caps))
    try:
        found = _rehearsed(door, number, purpose)
    except (ChangedMeanwhile, NotNow) as error:
        return _refused(door, number, error)
    return door.show(posting_page(found, purpose, reader.reading), reader)


@router.post(ONE)
def posted(door: AtDoor, number: Number, form: AtForm) -> Response:
    reader, _ = _opened(door, number)
    reading = reader.reading
    purpose = OnPurpose("moving" in form.said, "over_caps" in form.said)

    def do(book: Book, doing: Doing) -> Onward:
        done = post(book, doing, number, purpose=purpose)
        told = reading.say_many(
            "Plan %(number)s is posted; %(n)s text is to be sent.",
            "Plan %(number)s is posted; %(n)s texts are to be sent.",
            len(done.messages),
            number=number,
        )
        return Onward(OUTBOX, told)

    try:
        return door.once(form, do)
    except (ChangedMeanwhile, NotNow) as error:
        return _refused(door, number, error)


def _rehearsed(door: Visit, number: int, purpose: OnPurpose) -> Rehearsed:
    with door.rehearsing() as (book, doing):
        return rehearse(book, doing, number, purpose=purpose)


def _refused(door: Visit, number: int, error: ChangedMeanwhile | NotNow) -> Response:
    """Done already, or what is in the way; where it may be posted on purpose, the way there."""
    reader, kept = _opened(door, number)
    if kept.state in DONE:
        return door.show(posted_already_page(kept, reader.reading), reader, 409)
    changes = error.changes if isinstance(error, ChangedMeanwhile) else ()
    purpose = None if changes else _purpose(door, number)
    week, told = str(kept.plan.week), (str(error), changes)
    page = not_posted_page(number, told, purpose, reader.reading, lay_out=week)
    return door.show(page, reader, 409)


def _purpose(door: Visit, number: int) -> OnPurpose | None:
    """The least that must be said on purpose so that it is posted; None where nothing helps."""
    for purpose in PURPOSES:
        try:
            _rehearsed(door, number, purpose)
        except (ChangedMeanwhile, NotNow):
            continue
        return purpose
    return None


def _opened(door: Visit, number: int) -> tuple[Reader, KeptPlan]:
    """For who may post."""
    with door.reading() as (book, doing):
        must(doing, Act.POST)
        return door.reader(book, doing), plan_for(book, doing, number)
