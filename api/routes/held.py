"""/api/v1/held and /api/v1/corrective-actions: what a dry check that failed leads to."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import JSONResponse

from api.routes.headers import Once, SeenVersion, answer, changed, created
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER, Id
from api.schemas.held import (
    BackWanted,
    CorrectiveBody,
    CorrectiveWanted,
    DiscardWanted,
    HeldBody,
    WentOnBody,
)
from api.schemas.lot import LotBody
from api.services import corrective, held
from api.services.house import zone_of
from api.services.once import Told, once

router = APIRouter(prefix="/api/v1", tags=["Lots"])
RecordNumber = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get("/held", operation_id="held_lots", summary="Held lots", responses=problems(409))
def held_lots(desk: AtDesk) -> list[HeldBody]:
    """With the hours more that their readings come to, and where they could dry on."""
    with desk.reading() as (book, doing):
        found = held.held_lots(book, doing)
        return [HeldBody.from_domain(each, zone_of(book)) for each in found]


@router.get(
    "/held/{code}", operation_id="held", summary="One held lot", responses=problems(404, 409)
)
def held_lot(desk: AtDesk, code: Id) -> HeldBody:
    with desk.reading() as (book, doing):
        return HeldBody.from_domain(held.held(book, doing, code), zone_of(book))


@router.post(
    "/held/{code}/back-to-dryer",
    operation_id="back_to_dryer",
    summary="Back to dryer",
    status_code=201,
    response_model=WentOnBody,
    responses=problems(404, 409, 412, 428),
)
def back_to_dryer(
    desk: AtDesk, code: Id, wanted: BackWanted, version: SeenVersion, request: Once
) -> JSONResponse:
    """A further run on record; its packing turn moves with it or is called off, and its grower
    hears of it. After a second failure the manager alone may."""
    with desk.writing() as (book, doing):

        def send() -> Told:
            done = held.send_back(book, doing, code, version=version, back=wanted.back())
            body = WentOnBody.from_domain(done, zone_of(book))
            return created(body, f"/api/v1/runs/{done.run.number}", done.lot.version)

        return answer(once(book, doing, request, send))


@router.post(
    "/held/{code}/discard",
    operation_id="discard",
    summary="Discard",
    response_model=LotBody,
    responses=problems(404, 409, 412, 428),
)
def discard(
    desk: AtDesk, code: Id, wanted: DiscardWanted, version: SeenVersion, request: Once
) -> JSONResponse:
    with desk.writing() as (book, doing):

        def throw() -> Told:
            gone = held.discard(book, doing, code, version=version, why=wanted.why)
            return changed(LotBody.from_domain(gone, zone_of(book)), gone.version)

        return answer(once(book, doing, request, throw))


@router.get(
    "/corrective-actions",
    operation_id="corrective_actions",
    summary="Corrective-action records",
    responses=problems(409),
)
def corrective_actions(
    desk: AtDesk, every: Annotated[bool, Query(description="closed ones too")] = False
) -> list[CorrectiveBody]:
    """One for every dry check that was held, in order."""
    with desk.reading() as (book, doing):
        found = corrective.correctives(book, doing, open_only=not every)
        return [CorrectiveBody.from_domain(each, zone_of(book)) for each in found]


@router.post(
    "/corrective-actions/{number}",
    operation_id="write_corrective_action",
    summary="Write a corrective action",
    responses=problems(404, 409),
)
def write_corrective_action(
    desk: AtDesk, number: RecordNumber, wanted: CorrectiveWanted
) -> CorrectiveBody:
    """What was written before stays on record. Closing it is refused while anything is missing."""
    with desk.writing() as (book, doing):
        found = corrective.write_corrective(book, doing, number, wanted.said(), close=wanted.close)
        return CorrectiveBody.from_domain(found, zone_of(book))
