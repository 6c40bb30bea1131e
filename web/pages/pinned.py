"""GET and POST /pinned/{week}: pinning, forbidding and leaving free by hand, told first, undone."""

from __future__ import annotations

from typing import Annotated, Any
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Path, Query
from fastapi.responses import Response

from api.records.plans import KeptPlan
from api.routes.weeks import IsoWeek, week_of
from api.schemas.body import MOST_NUMBER
from api.schemas.wish import WishWanted
from api.services import wishes
from api.services.asking import asked_of
from api.services.house import zone_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.wish import Wish
from scheduler.errors import BadInput
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.pinned import (
    ADDRESS,
    KINDS,
    NAMES,
    NO_LOT,
    PinnedPage,
    judged_page,
    pinned_page,
    run_named,
    wish_form,
)
from web.views.plain import NoKitchenPage
from web.views.reader import Reader, Undo

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{iso_week}}"
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]
Said = Annotated[str, Query(max_length=60)]


@router.get(ONE)
def pinned(door: AtDoor, iso_week: IsoWeek, *, note: Said = "", when: Said = "") -> Response:
    """What is said in the address stands in the form already."""
    with door.reading() as (book, doing):
        must(doing, Act.READ_WEEK)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
    said = {name: text for name, text in (("note", note), ("when", when)) if text}
    page, reader = _opened(door, week_of(iso_week), said)
    return door.show(page, reader)


@router.post(f"{ONE}/judged")
def judged(door: AtDoor, iso_week: IsoWeek, posted: AtForm) -> Response:
    """Told beforehand; nothing is kept."""
    week = week_of(iso_week)
    with door.reading() as (book, doing):
        must(doing, Act.WISH)
        reader = door.reader(book, doing)
        asked = asked_of(book, week, now=doing.at)
        try:
            wish = _wish(posted, reader, book, week)
            found = wishes.judge(book, doing, week, wish)
        except BadInput as error:
            return _again(door, week, posted, error)
    page = judged_page(asked, wish, found, posted.said, reader.reading)
    return door.show(page, reader)


@router.post(ONE)
def kept(door: AtDoor, iso_week: IsoWeek, posted: AtForm) -> Response:
    week, where = week_of(iso_week), f"{ADDRESS}/{iso_week}"
    with door.reading() as (book, doing):
        must(doing, Act.WISH)
        reader = door.reader(book, doing)
        try:
            wish = _wish(posted, reader, book, week)
        except BadInput as error:
            return _again(door, week, posted, error)
    reading = reader.reading

    def do(book: Book, doing: Doing) -> Onward:
        entry = wishes.wish_for(book, doing, week, wish)
        undo = Undo(f"{where}/{entry.number}/undo", reading.say("Undo"), ())
        return Onward(where, reading.say("Kept; the next lay-out keeps to it."), undo)

    try:
        return door.once(posted, do)
    except BadInput as error:
        return _again(door, week, posted, error)


@router.post(f"{ONE}/{{number}}/undo")
def undone(door: AtDoor, iso_week: IsoWeek, number: Number, posted: AtForm) -> Response:
    with door.reading() as (book, doing):
        reading = door.reader(book, doing).reading

    def do(book: Book, doing: Doing) -> Onward:
        entry = wishes.undo(book, doing, number)
        return Onward(f"{ADDRESS}/{entry.week}", reading.say("It is wished no longer."))

    return door.once(posted, do)


def _opened(door: Visit, week: Week, said: dict[str, str]) -> tuple[PinnedPage, Reader]:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        asked, plan = _asked(book, doing, week)
        entries = wishes.wishes(book, doing, week)
        may = doing.reach(Act.WISH) == "all"
    form = wish_form(asked, plan, said, reader.reading) if may else None
    return pinned_page(asked, entries, plan, form, reader.reading), reader


def _asked(book: Book, doing: Doing, week: Week) -> tuple[Asked, KeptPlan | None]:
    return asked_of(book, week, now=doing.at), book.plans.newest_of(week)


def _again(door: Visit, week: Week, posted: Posted, error: BadInput) -> Response:
    """The form as it was sent, with what is wrong."""
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        asked, plan = _asked(book, doing, week)
        entries = wishes.wishes(book, doing, week)
    reading = reader.reading
    form = wish_form(asked, plan, {}, reading).filled(posted.said, "")
    form = form.refused(error, reading, NAMES)
    return door.show(pinned_page(asked, entries, plan, form, reading), reader, 422)


def _wish(posted: Posted, reader: Reader, book: Book, week: Week) -> Wish:
    """BadInput with every fault of the form."""
    taken = Taken(posted, reader.reading)
    kind = taken.choice("kind", KINDS)
    when, dryer = taken.text("when"), taken.text("dryer")
    note = taken.text("note", needed=kind != "leave free")
    if note == NO_LOT and kind != "leave free":
        taken.fault("note", reader.reading.say("must be chosen"))
    values = {
        "kind": kind,
        "note_id": None if note == NO_LOT else note or None,
        "dryer_id": None if dryer == "any" else dryer,
    }
    if " " in when:
        values |= _of_run(taken, when, book.plans.newest_of(week))
    else:
        values |= _times(taken, when, zone_of(book))
    return taken.body(WishWanted, values).wish(zone_of(book))


def _of_run(taken: Taken, when: str, kept: KeptPlan | None) -> dict[str, Any]:
    """A run bears its dryer; what is left free, is so until that run is out and washed down."""
    say = taken.reading.say
    run = next((each for each in (kept.plan.runs if kept else ()) if run_named(each) == when), None)
    if run is None:
        taken.fault("when", say("the plan laid out last has no such run"))
        return {}
    if taken.said.get("dryer") not in ("", "any", run.dryer_id):
        taken.fault("dryer", say("that run is in %(dryer)s", dryer=run.dryer_id))
    _must_have_no_hours(taken)
    found = {"dryer_id": run.dryer_id, "start": run.start}
    ends = [run.released, *(span.end for span in (run.unload, run.wash_down) if span)]
    return found | ({"end": max(ends)} if taken.said.get("kind") == "leave free" else {})


def _times(taken: Taken, when: str, zone: ZoneInfo) -> dict[str, Any]:
    """A day, which may be narrowed to some hours."""
    if when in ("", "any"):
        _must_have_no_hours(taken)
        return {}
    if not any(_hours(taken)):
        return {"day": when}
    day = wishes.when(zone, day=taken.day("when"))
    assert day is not None
    start = taken.moment("when", "from") if taken.text("from", needed=False) else day.start
    end = taken.moment("when", "to") if taken.text("to", needed=False) else day.end
    return {"start": start, "end": end}


def _must_have_no_hours(taken: Taken) -> None:
    if any(_hours(taken)):
        taken.fault("when", taken.reading.say("must be a day where hours are named"))


def _hours(taken: Taken) -> tuple[str, ...]:
    return tuple(taken.text(name, needed=False) for name in ("from", "to"))
