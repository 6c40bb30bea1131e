"""GET /day-sheets/{date}/labels: Rack labels; GET /lot-card/{code}: where their codes lead."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query
from fastapi.responses import RedirectResponse, Response

from api.routes.day_sheets import Day
from api.routes.inside import HERE
from api.services.lot_card import lot_card
from api.services.rack_labels import rack_labels
from api.services.roles import Act
from web.pages.visit import AtDoor
from web.views.labels import labels_page
from web.views.lot_card import ADDRESS, correct_link, lot_card_page

router = APIRouter(include_in_schema=False)
Code = Annotated[str, Path(max_length=80)]


@router.get("/day-sheets/{day}/labels")
def labels(
    day: Day, door: AtDoor, each: Annotated[Literal["lot", "rack"], Query()] = "lot"
) -> Response:
    with door.reading() as (book, doing):
        reader, found = door.reader(book, doing), rack_labels(book, doing, day)
    page = labels_page(
        found,
        day,
        reader.reading,
        site=str(door.asked.base_url),
        each_rack=each == "rack",
        here=door.asked.url.hostname in HERE,
    )
    return door.show(page, reader)


@router.get(f"{ADDRESS}/{{code}}")
def card(code: Code, door: AtDoor) -> Response:
    """A grower who holds her telephone over a rack comes to her own page of that lot."""
    with door.reading() as (book, doing):
        reader, found = door.reader(book, doing), lot_card(book, doing, code)
        may = reader.known and doing.reach(Act.CORRECT) == "all"
    if found.own:
        return RedirectResponse(f"/my-lots/{found.entry.id}", 303)
    page = lot_card_page(found, reader.reading)
    if may:
        page = replace(page, correct=correct_link(found, reader.reading))
    return door.show(page, reader)
