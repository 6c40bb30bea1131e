"""/api/v1/notes/{id}/place and what goes with it: one lot anew, nobody else moved."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from api.routes.headers import Once, SeenVersion, answer, changed
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import Id, WeekText
from api.schemas.note import NoteBody
from api.schemas.place import LaterLook, LaterWanted, OfferBody, PlaceWanted, WaysBody
from api.services import places
from api.services.house import zone_of
from api.services.notes import as_seen, note
from api.services.once import Told, once
from api.services.ports import Book
from api.services.roles import Act, Doing
from api.services.tokens import known
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1", tags=["Notes"])


@router.get(
    "/notes/{note_id}/places",
    operation_id="places",
    summary="Its place anew",
    responses=problems(404, 409),
)
def note_places(desk: AtDesk, note_id: Id) -> WaysBody:
    """Whether its posted turn holds as it asks now; else at most three ways that move nobody."""
    with desk.reading() as (book, doing):
        return WaysBody.from_domain(places.ways(book, doing, note_id), zone_of(book))


@router.post(
    "/notes/{note_id}/place",
    operation_id="place",
    summary="Place one lot",
    response_model=NoteBody,
    responses=problems(404, 409),
)
def place(desk: AtDesk, note_id: Id, wanted: PlaceWanted, request: Once) -> JSONResponse:
    """The plan with it is posted; its grower hears of it, nobody else is moved."""
    with desk.writing() as (book, doing):

        def put() -> Told:
            places.take(book, doing, note_id, wanted.kind)
            return _told(book, doing, note_id)

        return answer(once(book, doing, request, put))


@router.post(
    "/notes/{note_id}/later/look",
    operation_id="look_later",
    summary="What it would have",
    responses=problems(404, 409, 412, 428),
)
def look_later(desk: AtDesk, note_id: Id, wanted: LaterLook, version: SeenVersion) -> WaysBody:
    """If it came at that time. Nothing is kept."""
    with desk.shelf.rehearsing() as book:
        doing = known(book, desk.shown, desk.kinds, desk.clock())
        found = places.look_later(book, doing, note_id, version=version, arrives=wanted.arrives)
        return WaysBody.from_domain(found, zone_of(book))


@router.post(
    "/notes/{note_id}/later",
    operation_id="comes_later",
    summary="Comes at another time",
    response_model=NoteBody,
    responses=problems(404, 409, 412, 428),
)
def comes_later(
    desk: AtDesk, note_id: Id, wanted: LaterWanted, version: SeenVersion, request: Once
) -> JSONResponse:
    """Its turn holds, it takes the way that is named, or its turns end; its grower hears of it."""
    with desk.writing() as (book, doing):

        def later() -> Told:
            places.comes_later(
                book,
                doing,
                note_id,
                version=version,
                arrives=wanted.arrives,
                kind=wanted.kind,
            )
            return _told(book, doing, note_id)

        return answer(once(book, doing, request, later))


@router.get(
    "/weeks/{iso_week}/offers",
    operation_id="offers",
    summary="Room for those who wait",
    tags=["Weeks"],
    responses=problems(409),
)
def offers(desk: AtDesk, iso_week: WeekText) -> list[OfferBody]:
    """Who waits and would have a place beside all that is posted, in order of turn (rule B)."""
    with desk.reading() as (book, doing):
        found = places.offers(book, doing, Week.parse(iso_week))
        return [OfferBody.from_domain(each, zone_of(book)) for each in found]


def _told(book: Book, doing: Doing, note_id: str) -> Told:
    entry = note(book, doing, note_id, Act.PLACE)
    (seen,) = as_seen(book, doing, (entry,))
    return changed(NoteBody.from_domain(seen), entry.version)
