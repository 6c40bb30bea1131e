"""/api/v1/suppositions: a week tried otherwise, beside its plan and without touching it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from api.routes.headers import Once, answer
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER
from api.schemas.supposition import SuppositionBody, SuppositionWanted
from api.services.once import Told, once
from api.services.suppositions import ask_suppose, stop_supposing, supposed
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1/suppositions", tags=["Lay-outs"])
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.post(
    "",
    operation_id="suppose",
    summary="Suppose",
    status_code=202,
    response_model=SuppositionBody,
    responses=problems(409),
)
def suppose(desk: AtDesk, wanted: SuppositionWanted, request: Once) -> JSONResponse:
    """A worker finds what it comes to; no plan is kept of it."""
    with desk.writing() as (book, doing):

        def ask() -> Told:
            week, what = Week.parse(wanted.week), wanted.to_domain()
            job = ask_suppose(
                book, doing, week, what, seconds=wanted.seconds, moving=wanted.move_firm_turns
            )
            body = SuppositionBody.from_domain(supposed(book, doing, job.number))
            where = {"Location": f"/api/v1/suppositions/{job.number}"}
            return Told(202, body.model_dump(mode="json"), where)

        return answer(once(book, doing, request, ask))


@router.get(
    "/{number}", operation_id="one_supposition", summary="What it comes to", responses=problems(404)
)
def one(desk: AtDesk, number: Number) -> SuppositionBody:
    """How far it is; then the worth, and who gains and who loses."""
    with desk.reading() as (book, doing):
        return SuppositionBody.from_domain(supposed(book, doing, number))


@router.post(
    "/{number}/stop",
    operation_id="stop_supposing",
    summary="Stop, compare what there is",
    responses=problems(404, 409),
)
def stop(desk: AtDesk, number: Number) -> SuppositionBody:
    """Asked again, nothing more happens."""
    with desk.writing() as (book, doing):
        stop_supposing(book, doing, number)
        return SuppositionBody.from_domain(supposed(book, doing, number))
