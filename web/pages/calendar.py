"""GET and POST /my-calendar: a calendar link made, shown once, revoked."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from api.schemas.body import Id
from api.services.errors import NoSuchThing, NotAllowed
from api.services.feed_addresses import give_feed, own_feeds, revoke_feed
from api.services.ports import Book
from api.services.roles import Act, Doing, whose
from web.pages.posted import AtForm
from web.pages.visit import AtDoor, Onward, Visit
from web.views.calendar import ADDRESS, calendar_page
from web.views.form import Form
from web.views.links import Link
from web.views.plain import SurePage
from web.views.reading import Reading

router = APIRouter(include_in_schema=False)
MADE = "feed"  # in the session until it has been seen: the book keeps no secret


@router.get(ADDRESS)
def my_calendar(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        _grower(doing)
        reader, given = door.reader(book, doing), own_feeds(book, doing)
    secret = door.asked.session.pop(MADE, "")
    made = f"{door.asked.base_url}api/v1/feeds/{secret}" if secret else ""
    return door.show(calendar_page(given, reader.reading, made=made), reader)


@router.post(ADDRESS)
def make(door: AtDoor, posted: AtForm) -> Response:
    def do(book: Book, doing: Doing) -> Onward:
        given = give_feed(book, doing, "grower", _grower(doing))
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


def _grower(doing: Doing) -> str:
    found = whose(doing, Act.OWN_FEEDS)
    if found is None:
        raise NotAllowed("this page is for growers")
    return found
