"""/api/v1/outages: a station stops, a station returns."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Response
from fastapi.responses import JSONResponse

from api.routes.headers import Once, SeenVersion, answer, created, etag
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER
from api.schemas.night_log import DecideWanted, NightLogBody, WriteWanted
from api.schemas.outage import DownWanted, OutageBody, UpWanted
from api.services import night_lines, night_log, outages
from api.services.house import zone_of
from api.services.once import Told, once

router = APIRouter(prefix="/api/v1/outages", tags=["Outages"])
OutageNumber = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get("", operation_id="outages", summary="Outages", responses=problems(409))
def list_outages(desk: AtDesk, still_down: bool = False) -> list[OutageBody]:
    """In the order they were told."""
    with desk.reading() as (book, doing):
        found = outages.outages(book, doing, open_only=still_down)
        return [OutageBody.from_domain(each, zone_of(book)) for each in found]


@router.post(
    "",
    operation_id="down",
    summary="Down",
    status_code=201,
    response_model=OutageBody,
    responses=problems(409),
)
def down(desk: AtDesk, wanted: DownWanted, request: Once) -> JSONResponse:
    """A station stopped. Plans posted before it no longer hold: lay out again."""
    with desk.writing() as (book, doing):

        def stop() -> Told:
            at = wanted.stopped or doing.at
            entry = outages.down(book, doing, wanted.station_id, stopped=at, cause=wanted.cause)
            body = OutageBody.from_domain(entry, zone_of(book))
            return created(body, f"/api/v1/outages/{entry.number}", entry.version)

        return answer(once(book, doing, request, stop))


@router.get("/{number}", operation_id="outage", summary="One outage", responses=problems(404))
def outage(desk: AtDesk, number: OutageNumber, response: Response) -> OutageBody:
    with desk.reading() as (book, doing):
        found = outages.outage(book, doing, number)
        response.headers.update(etag(found.version))
        return OutageBody.from_domain(found, zone_of(book))


@router.patch("/{number}", operation_id="up", summary="Up", responses=problems(404, 412, 428))
def up(
    desk: AtDesk, number: OutageNumber, wanted: UpWanted, version: SeenVersion, response: Response
) -> OutageBody:
    """The station is back, or will be at the time given."""
    with desk.writing() as (book, doing):
        back = wanted.back or doing.at
        found = outages.up(book, doing, number, version=version, back=back)
        response.headers.update(etag(found.version))
        return OutageBody.from_domain(found, zone_of(book))


@router.get(
    "/{number}/night-log",
    operation_id="night_log",
    summary="Night log",
    responses=problems(404, 409),
)
def read_night_log(desk: AtDesk, number: OutageNumber) -> NightLogBody:
    """What was seen and done, and the clock of exposure of each part-lot at this moment."""
    with desk.reading() as (book, doing):
        found = night_log.night_log(book, doing, number)
        return NightLogBody.from_domain(found, zone_of(book))


@router.post(
    "/{number}/night-log",
    operation_id="write_night_log",
    summary="Write in the night log",
    status_code=201,
    response_model=NightLogBody,
    responses=problems(404, 409),
)
def write_night_log(
    desk: AtDesk, number: OutageNumber, wanted: WriteWanted, request: Once
) -> JSONResponse:
    """One line more; nothing is ever taken out."""
    with desk.writing() as (book, doing):

        def write() -> Told:
            found = night_lines.write_night_log(book, doing, number, wanted.wrote())
            body = NightLogBody.from_domain(found, zone_of(book))
            return created(body, f"/api/v1/outages/{number}/night-log")

        return answer(once(book, doing, request, write))


@router.post(
    "/{number}/decisions",
    operation_id="decide",
    summary="A named person's decision",
    status_code=201,
    response_model=NightLogBody,
    responses=problems(404, 409),
)
def decide(desk: AtDesk, number: OutageNumber, wanted: DecideWanted, request: Once) -> JSONResponse:
    """On racks over the limit. The tool asks; it never decides."""
    with desk.writing() as (book, doing):

        def told() -> Told:
            found = night_lines.decide(
                book, doing, number, part=wanted.part, decided=wanted.decided()
            )
            body = NightLogBody.from_domain(found, zone_of(book))
            return created(body, f"/api/v1/outages/{number}/night-log")

        return answer(once(book, doing, request, told))
