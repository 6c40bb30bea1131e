"""/api/v1/weeks/…/wishes: pinning and forbidding by hand, told beforehand, undone one by one."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from api.routes.headers import Once, answer
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.routes.weeks import IsoWeek, week_of
from api.schemas.body import MOST_NUMBER
from api.schemas.wish import JudgedBody, WishBody, WishWanted
from api.services import wishes
from api.services.house import zone_of
from api.services.once import Told, once

router = APIRouter(prefix="/api/v1", tags=["Pinned and forbidden"])
WishNumber = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(
    "/weeks/{iso_week}/wishes",
    operation_id="wishes",
    summary="What is pinned, forbidden and left free",
    responses=problems(409),
)
def list_wishes(desk: AtDesk, iso_week: IsoWeek) -> list[WishBody]:
    """Those that hold, in the order in which they were wished."""
    with desk.reading() as (book, doing):
        found = wishes.wishes(book, doing, week_of(iso_week))
        return [WishBody.from_domain(each, zone_of(book)) for each in found]


@router.post(
    "/weeks/{iso_week}/wishes",
    operation_id="wish",
    summary="Pin, forbid or leave free",
    status_code=201,
    response_model=WishBody,
    responses=problems(409),
)
def wish(desk: AtDesk, iso_week: IsoWeek, wanted: WishWanted, request: Once) -> JSONResponse:
    """The next lay-out of the week keeps to it, or names it with the rule in the way."""
    with desk.writing() as (book, doing):

        def do() -> Told:
            zone = zone_of(book)
            entry = wishes.wish_for(book, doing, week_of(iso_week), wanted.wish(zone))
            return Told(201, WishBody.from_domain(entry, zone).model_dump(mode="json"))

        return answer(once(book, doing, request, do))


@router.post(
    "/weeks/{iso_week}/wishes/judged",
    operation_id="judge_wish",
    summary="What a wish would come to",
    responses=problems(409),
)
def judge(desk: AtDesk, iso_week: IsoWeek, wanted: WishWanted) -> JudgedBody:
    """Told at once, by hand, beside the plan laid out last: nothing is kept."""
    with desk.reading() as (book, doing):
        found = wishes.judge(book, doing, week_of(iso_week), wanted.wish(zone_of(book)))
    return JudgedBody.from_domain(found)


@router.post(
    "/wishes/{number}/undo",
    operation_id="undo_wish",
    summary="Undo a wish",
    responses=problems(404, 409),
)
def undo(desk: AtDesk, number: WishNumber) -> WishBody:
    with desk.writing() as (book, doing):
        found = wishes.undo(book, doing, number)
        return WishBody.from_domain(found, zone_of(book))
