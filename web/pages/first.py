"""GET /: the plan laid out last, or what to do while there is none."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from api.routes.inside import OpenBook
from api.services.plans import newest_week
from web.pages.paper import print_page
from web.views.links import week_link
from web.views.plain import EmptyPage

router = APIRouter(include_in_schema=False)


@router.get("/")
def first(book: OpenBook) -> Response:
    week = newest_week(book)
    if week is None:
        return print_page(EmptyPage())
    return RedirectResponse(week_link(week).href, 303)
