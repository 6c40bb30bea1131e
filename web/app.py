"""The site, put together: the service, the pages, the static files."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.app import create_service
from api.routes.problems import ERRORS
from api.services.ports import Shelf
from web.pages import (
    at_the_door,
    board,
    board_paper,
    board_suppose,
    calendar,
    call_list,
    corrections,
    day_sheet,
    door,
    dry_check,
    fees,
    first,
    harvest_notes,
    held,
    invoices,
    labels,
    lay_out,
    mend,
    messages,
    my_lots,
    night,
    night_log,
    note_changes,
    note_import,
    papers,
    pinned,
    places,
    plans,
    posting,
    settings,
    standing_lots,
    suppose,
    tell,
    tick_off,
    waiting,
    week,
)
from web.pages.problem import answer_in_kind

STATIC = "/static"
NOBODY_ELSES = "private, no-cache"  # whatever a cache on the way would do of itself
PAGES = (
    door, first, week, day_sheet, my_lots, tell, calendar, settings, board_suppose, board_paper,
    board, night,
    night_log, labels, corrections, tick_off, at_the_door, held, dry_check,
    places, note_import, standing_lots, call_list, harvest_notes, note_changes, lay_out, mend,
    suppose, plans, waiting, posting, messages, papers, fees, invoices,
    pinned,
)  # fmt: skip  # where paths overlap, the plainer one stands first
HEADERS = {
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; img-src 'self'; "
    "script-src 'self'; connect-src 'self'; "
    "base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
}


def create_site(shelf: Shelf, **how: Any) -> FastAPI:
    """Pages and JSON over the book; all that create_service may be told."""
    site = create_service(shelf, **how)
    for page in PAGES:
        site.include_router(page.router)
    site.mount(STATIC, StaticFiles(directory=Path(__file__).parent / "static"))
    for error in ERRORS:
        site.add_exception_handler(error, answer_in_kind)
    site.add_middleware(Guarded)
    return site


class Guarded:
    """Sends every answer with the headers that keep foreign content out."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers.update(HEADERS)
                if not scope["path"].startswith(STATIC):
                    headers.setdefault("Cache-Control", NOBODY_ELSES)
            await send(message)

        await self.app(scope, receive, guarded if scope["type"] == "http" else send)
