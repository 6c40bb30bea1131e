"""GET /plans/{number}: one version of a week's plan, beside the whiteboard plan."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.schemas.body import MOST_NUMBER
from api.services.by_hand import beside_for
from web.pages.visit import AtDoor
from web.views.beside import ADDRESS, beside_page

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{number}}"
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(ONE)
def plan(door: AtDoor, number: Number) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        found = beside_for(book, doing, number)
    return door.show(beside_page(found, reader.reading, doing=doing), reader)
