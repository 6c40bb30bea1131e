"""/api/v1/lots: weighed in at the door, packed, followed."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Response
from fastapi.responses import JSONResponse

from api.routes.headers import Once, SeenVersion, answer, created, etag
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import Id, WeekText
from api.schemas.lot import (
    CheckedBody,
    CheckWanted,
    CorrectLotWanted,
    DoorWanted,
    HandOutWanted,
    LotBody,
    PackWanted,
    TrailBody,
)
from api.services import handing_out, lots
from api.services.corrections import correct_lot
from api.services.dry_checks import dry_check as check_dry
from api.services.house import zone_of
from api.services.once import Told, once
from scheduler.domain.clock import Week
from scheduler.units import grams

router = APIRouter(prefix="/api/v1/lots", tags=["Lots"])


@router.get("", operation_id="lots", summary="Lots", responses=problems(409))
def list_lots(
    desk: AtDesk, week: Annotated[WeekText | None, Query(description="of that ISO week")] = None
) -> list[LotBody]:
    """In order of code; a grower sees her own."""
    with desk.reading() as (book, doing):
        found = lots.lots(book, doing, week=Week.parse(week) if week else None)
        return [LotBody.from_domain(each, zone_of(book)) for each in found]


@router.post(
    "",
    operation_id="door",
    summary="At the door",
    status_code=201,
    response_model=LotBody,
    responses=problems(404, 409),
)
def door(desk: AtDesk, wanted: DoorWanted, request: Once) -> JSONResponse:
    """Weigh in: the note becomes a lot with a code and its true weight."""
    with desk.writing() as (book, doing):

        def weigh() -> Told:
            lot = lots.door(book, doing, wanted.note_id, grams(wanted.weighed_kg))
            body = LotBody.from_domain(lot, zone_of(book))
            return created(body, f"/api/v1/lots/{lot.code}", lot.version)

        return answer(once(book, doing, request, weigh))


@router.get("/{code}", operation_id="lot", summary="Lot card", responses=problems(404))
def lot(desk: AtDesk, code: Id, response: Response) -> LotBody:
    with desk.reading() as (book, doing):
        found = lots.lot(book, doing, code)
        response.headers.update(etag(found.version))
        return LotBody.from_domain(found, zone_of(book))


@router.post(
    "/{code}/dry-checks",
    operation_id="dry_check",
    summary="Dry check",
    status_code=201,
    response_model=CheckedBody,
    responses=problems(404, 409, 412, 428),
)
def dry_check(
    desk: AtDesk, code: Id, wanted: CheckWanted, version: SeenVersion, request: Once
) -> JSONResponse:
    """Readings are counted against the process card, the worst decides; a named person passes or
    holds. Passing what the readings hold is refused."""
    with desk.writing() as (book, doing):

        def read() -> Told:
            checked = check_dry(book, doing, code, version=version, check=wanted.check())
            body = CheckedBody.from_domain(checked, zone_of(book))
            return created(body, f"/api/v1/lots/{code}/trail", checked.lot.version)

        return answer(once(book, doing, request, read))


@router.post(
    "/{code}/pack",
    operation_id="pack",
    summary="Pack",
    responses=problems(404, 409, 412, 428),
)
def pack(
    desk: AtDesk, code: Id, wanted: PackWanted, version: SeenVersion, response: Response
) -> LotBody:
    """So many bags. Whether they may be sold, a person decides."""
    with desk.writing() as (book, doing):
        packed = lots.pack(book, doing, code, version=version, bags=wanted.bags)
        response.headers.update(etag(packed.version))
        return LotBody.from_domain(packed, zone_of(book))


@router.post(
    "/{code}/corrections",
    operation_id="correct_lot",
    summary="Correct a lot",
    responses=problems(404, 409, 412, 428),
)
def correct(
    desk: AtDesk, code: Id, wanted: CorrectLotWanted, version: SeenVersion, response: Response
) -> LotBody:
    """One more record, with who and why; what was written first stays."""
    with desk.writing() as (book, doing):
        right = wanted.right()
        done = correct_lot(book, doing, code, version=version, right=right, why=wanted.why)
        response.headers.update(etag(done.version))
        return LotBody.from_domain(done, zone_of(book))


@router.post(
    "/{code}/collected",
    operation_id="hand_out",
    summary="Collected",
    responses=problems(404, 409, 412, 428),
)
def hand_out(
    desk: AtDesk, code: Id, wanted: HandOutWanted, version: SeenVersion, response: Response
) -> LotBody:
    """Bags went to somebody: the lot's trail goes forward to them."""
    with desk.writing() as (book, doing):
        later = handing_out.hand_out(
            book, doing, code, version=version, bags=wanted.bags, to=wanted.to
        )
        response.headers.update(etag(later.version))
        return LotBody.from_domain(later, zone_of(book))


@router.get("/{code}/trail", operation_id="trail", summary="Lot trail", responses=problems(404))
def trail(desk: AtDesk, code: Id) -> TrailBody:
    """Back to the field, forward to the bags."""
    with desk.reading() as (book, doing):
        return TrailBody.from_domain(lots.trail(book, doing, code), zone_of(book))
