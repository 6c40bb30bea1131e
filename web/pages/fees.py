"""GET /fees/{iso_week} and /plans/{number}/fees: Turns and fees."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.routes.weeks import IsoWeek, week_of
from api.schemas.body import MOST_NUMBER
from api.services.fees import fees_of_plan, fees_of_week
from web.pages.visit import AtDoor
from web.views.beside import ADDRESS as PLANS
from web.views.fees import ADDRESS, fees_page

router = APIRouter(include_in_schema=False)
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(f"{ADDRESS}/{{iso_week}}")
def of_week(iso_week: IsoWeek, door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        found = fees_of_week(book, doing, week_of(iso_week))
    return door.show(fees_page(found, reader.reading), reader)


@router.get(f"{PLANS}/{{number}}/fees")
def of_plan(number: Number, door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        found = fees_of_plan(book, doing, number)
    return door.show(fees_page(found, reader.reading), reader)
