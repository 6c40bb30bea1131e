"""GET /plans/{number}: one version of a week's plan, beside the whiteboard plan or another one."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.schemas.body import MOST_NUMBER
from api.services.by_hand import beside_for
from api.services.comparing import compare
from web.pages.visit import AtDoor
from web.views.beside import ADDRESS, beside_page
from web.views.comparing import comparing_page

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{number}}"
Number = Annotated[int, Path(ge=1, le=MOST_NUMBER)]


@router.get(f"{ONE}/beside/{{other}}")
def two(door: AtDoor, number: Number, other: Number) -> Response:
    """Two kept plans of one week, from the other one to this one."""
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        found = compare(book, doing, other, after=number)
    return door.show(comparing_page(found, reader.reading), reader)


@router.get(ONE)
def plan(door: AtDoor, number: Number) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        found = beside_for(book, doing, number)
    return door.show(beside_page(found, reader.reading, doing=doing), reader)
