"""/api/v1/standing-lots: lots that come every week."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path

from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER
from api.schemas.standing import StandingBody, StandingEnd, StandingWanted
from api.services import standing
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1/standing-lots", tags=["Standing lots"])


@router.get("", operation_id="standing_lots", summary="Standing lots", responses=problems())
def list_standing(desk: AtDesk) -> list[StandingBody]:
    with desk.reading() as (book, doing):
        return [StandingBody.from_domain(each) for each in standing.standing_lots(book, doing)]


@router.post(
    "",
    operation_id="keep_standing",
    summary="A new standing lot",
    status_code=201,
    responses=problems(409),
)
def keep_standing(desk: AtDesk, wanted: StandingWanted) -> StandingBody:
    with desk.writing() as (book, doing):
        return StandingBody.from_domain(standing.keep_standing(book, doing, wanted.lot()))


@router.post(
    "/{number}/end",
    operation_id="end_standing",
    summary="It ends",
    responses=problems(404),
)
def end_standing(
    desk: AtDesk, number: Annotated[int, Path(ge=1, le=MOST_NUMBER)], wanted: StandingEnd
) -> StandingBody:
    """It comes for the last time in that week."""
    with desk.writing() as (book, doing):
        last = Week.parse(wanted.last)
        return StandingBody.from_domain(standing.end_standing(book, doing, number, last))
