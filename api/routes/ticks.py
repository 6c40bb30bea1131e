"""/api/v1/day-sheets/{date}/ticks: what of the day is done, and ticking it off."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from api.routes.day_sheets import Day
from api.routes.headers import Once, answer
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.tick import LineBody, TickWanted
from api.services.day_to_tick import day_to_tick
from api.services.house import zone_of
from api.services.once import Told, once
from api.services.ticking import just_tick

router = APIRouter(prefix="/api/v1/day-sheets", tags=["Day sheet"])


@router.get("/{day}/ticks", operation_id="ticks", summary="Ticks", responses=problems(404))
def ticks(desk: AtDesk, day: Day) -> list[LineBody]:
    """Every line of the day's sheet, whether it is done, by whom and when."""
    with desk.reading() as (book, doing):
        found = day_to_tick(book, doing, day)
        zone = found.kept.asked.kitchen.zone
        return [LineBody.from_domain(each, zone) for each in found.lines]


@router.post(
    "/{day}/ticks",
    operation_id="tick",
    summary="Tick",
    response_model=LineBody,
    responses=problems(404, 409),
)
def tick(desk: AtDesk, day: Day, wanted: TickWanted, request: Once) -> JSONResponse:
    """Wash, cut, steam, chill, fill and wash-down are ticked, or taken back. What is weighed in,
    started, ended, unloaded, read or packed is done among the lots and runs, and shows here."""
    with desk.writing() as (book, doing):

        def do() -> Told:
            said = wanted.tick(doing.at)
            line = just_tick(book, doing, day, said, done=wanted.done)
            zone = zone_of(book)
            return Told(200, LineBody.from_domain(line, zone).model_dump(mode="json"))

        return answer(once(book, doing, request, do))
