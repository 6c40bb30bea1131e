"""/api/v1/re-lays: mending a posted plan; what was found is posted like any other plan."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from api.routes.headers import Once, answer
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER
from api.schemas.mend import MendBody, MendWanted
from api.services.house import zone_of
from api.services.mends import ask_mend, mended
from api.services.once import Told, once
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1/re-lays", tags=["Lay-outs"])
MendNumber = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.post(
    "",
    operation_id="re_lay",
    summary="Re-lay",
    status_code=202,
    response_model=MendBody,
    responses=problems(409),
)
def re_lay(desk: AtDesk, wanted: MendWanted, request: Once) -> JSONResponse:
    """Both ways to mend the posted plan as things stand: a worker finds them."""
    with desk.writing() as (book, doing):

        def ask() -> Told:
            job = ask_mend(book, doing, Week.parse(wanted.week), seconds=wanted.seconds)
            body = MendBody.from_domain(mended(book, doing, job.number), zone_of(book))
            where = {"Location": f"/api/v1/re-lays/{job.number}"}
            return Told(202, body.model_dump(mode="json"), where)

        return answer(once(book, doing, request, ask))


@router.get(
    "/{number}", operation_id="one_re_lay", summary="Who moves", responses=problems(404, 409)
)
def one_re_lay(desk: AtDesk, number: MendNumber) -> MendBody:
    """How far it is; both ways, the proposed one first, before anything is posted."""
    with desk.reading() as (book, doing):
        return MendBody.from_domain(mended(book, doing, number), zone_of(book))
