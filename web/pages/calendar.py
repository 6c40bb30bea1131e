"""GET and POST /my-calendar: a calendar link made, shown once, revoked."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from api.schemas.body import Id
from api.services.errors import NoSuchThing
from api.services.feed_addresses import Kind, give_feed, own_feeds, revoke_feed
from api.services.ports import Book
from api.services.roles import Act, Doing, must, whose
from web.pages.posted import AtForm, Posted, Taken
from web.pages.visit import AtDoor, Onward, Visit
from web.views.calendar import ADDRESS, NIGHTS, calendar_form, calendar_page
from web.views.form import Form
from web.views.links import Link
from web.views.plain import SurePage
from web.views.reading import Reading
from web.views.stop import station_names

router = APIRouter(include_in_schema=False)
MADE = "feed"  # in the session until it has been seen: the book keeps no secret


@router.get(ADDRESS)
def my_calendar(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader, given = door.reader(book, doing), own_feeds(book, doing)
        form = _form(book, doing, reader.reading)
    secret = door.asked.session.pop(MADE, "")
    made = f"{door.asked.base_url}api/v1/feeds/{secret}" if secret else ""
    page = calendar_page(given, reader.reading, made=made, form=form)
    return door.show(page, reader)


@router.post(ADDRESS)
def make(door: AtDoor, posted: AtForm) -> Response:
    reading = _reading(door)

    def do(book: Book, doing: Doing) -> Onward:
        kind, who = _wanted(doing, posted, reading)
        given = give_feed(book, doing, kind, who)
        door.asked.session[MADE] = given.secret
        return Onward(ADDRESS)

    return door.once(posted, do)


@router.get(f"{ADDRESS}/{{token_id}}/revoke")
def sure(door: AtDoor, token_id: Id) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        if all(each.id != token_id for each in own_feeds(book, doing)):
            raise NoSuchThing(f"there is no address {token_id}")
    say = reader.reading.say
    page = SurePage(
        title=say("End this calendar link?"),
        detail=say("Calendars that read it hear nothing more. It cannot be taken back."),
        form=Form(f"{ADDRESS}/{token_id}/revoke", say("End it"), danger=True),
        back=Link(say("Keep it as it is"), ADDRESS),
    )
    return door.show(page, reader)


@router.post(f"{ADDRESS}/{{token_id}}/revoke")
def revoke(door: AtDoor, token_id: Id, posted: AtForm) -> Response:
    reading = _reading(door)

    def do(book: Book, doing: Doing) -> Onward:
        revoke_feed(book, doing, token_id)
        return Onward(ADDRESS, reading.say("The link has ended."))

    return door.once(posted, do)


def _reading(door: Visit) -> Reading:
    with door.reading() as (book, doing):
        return door.reader(book, doing).reading


def _form(book: Book, doing: Doing, reading: Reading) -> Form:
    """The house chooses between nights and stations; the others have but one calendar."""
    if must(doing, Act.OWN_FEEDS) != "all":
        return calendar_form(reading)
    settings = book.settings.last()
    stations = () if settings is None else station_names(settings.kitchen)
    return calendar_form(reading, ((NIGHTS, reading.say("Nights on call")), *stations))


def _wanted(doing: Doing, posted: Posted, reading: Reading) -> tuple[Kind, str]:
    reach = must(doing, Act.OWN_FEEDS)
    if reach == "own":
        return "grower", whose(doing, Act.OWN_FEEDS) or ""
    if reach == "tonight":
        return "on call", ""
    taken = Taken(posted, reading)
    chosen = taken.text("of")
    taken.must_be_right()
    return ("on call", "") if chosen == NIGHTS else ("station", chosen)
