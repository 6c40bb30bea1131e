"""/api/v1/board/suppositions: a season's weeks laid out again with something changed."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from api.routes.headers import Once, answer
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.board_supposition import SeasonSuppositionBody, SeasonSuppositionWanted
from api.schemas.body import MOST_NUMBER
from api.services.board_suppositions import ask_season, season_supposed, stop_season
from api.services.once import Told, once

router = APIRouter(prefix="/api/v1/board/suppositions", tags=["Board paper"])
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.post(
    "",
    operation_id="suppose_season",
    summary="Suppose of a season",
    status_code=202,
    response_model=SeasonSuppositionBody,
    responses=problems(404, 409),
)
def suppose(desk: AtDesk, wanted: SeasonSuppositionWanted, request: Once) -> JSONResponse:
    """A worker tries it on every posted week of the year, after all else that is asked for."""
    with desk.writing() as (book, doing):

        def ask() -> Told:
            changes = tuple(wanted.changes)
            job = ask_season(book, doing, wanted.year, changes, tries=wanted.tries)
            found = season_supposed(book, doing, job.number)
            body = SeasonSuppositionBody.from_domain(*found).model_dump(mode="json")
            return Told(202, body, {"Location": f"/api/v1/board/suppositions/{job.number}"})

        return answer(once(book, doing, request, ask))


@router.get(
    "/{number}",
    operation_id="one_season_supposition",
    summary="What it comes to",
    responses=problems(404),
)
def one(desk: AtDesk, number: Number) -> SeasonSuppositionBody:
    """How far it is; then each change with its price and how sure it is."""
    with desk.reading() as (book, doing):
        return SeasonSuppositionBody.from_domain(*season_supposed(book, doing, number))


@router.post(
    "/{number}/stop",
    operation_id="stop_season_supposition",
    summary="Try no further",
    responses=problems(404, 409),
)
def stop(desk: AtDesk, number: Number) -> SeasonSuppositionBody:
    """Asked again, nothing more happens."""
    with desk.writing() as (book, doing):
        stop_season(book, doing, number)
        return SeasonSuppositionBody.from_domain(*season_supposed(book, doing, number))
