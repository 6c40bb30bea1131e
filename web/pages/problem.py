"""Errors on pages, in the words of the API's problems."""

from __future__ import annotations

from contextlib import suppress
from urllib.parse import urlsplit

from fastapi import Request
from fastapi.responses import Response

from api.routes.inside import COOKIE_KEY, IN_COOKIE, Desk
from api.routes.problems import answer_with_problem, problem_of
from api.services.errors import NotKnown
from web.pages.door import ask_to_log_in
from web.pages.paper import print_page
from web.pages.visit import language_of, stranger
from web.views.problem import problem_page
from web.views.reader import Reader, reader_of

NO_PAGES = ("/api/", "/health", "/ready", "/metrics")


def answer_in_kind(request: Request, error: Exception) -> Response:
    """A problem for programs, the door for whom nobody knows, a page for everybody else."""
    if request.url.path.startswith(NO_PAGES):
        return answer_with_problem(request, error)
    if isinstance(error, NotKnown):
        return ask_to_log_in(request)
    reader = _reader(request)
    reading = reader.reading if reader else stranger(request)
    problem = problem_of(request, error)
    page = problem_page(problem, reading, back=_back(request))
    return print_page(page, problem.status, reader=reader, reading=reading)


def _reader(request: Request) -> Reader | None:
    """Who asked, where that is known: her frame stays around the page."""
    state = request.app.state
    with suppress(Exception):  # whatever went wrong may do so again here: then without a frame
        shown = str(request.session.get(COOKIE_KEY, ""))
        with Desk(state.shelf, state.clock, shown, IN_COOKIE).reading() as (book, doing):
            return reader_of(book, doing, language=language_of(request))
    return None


def _back(request: Request) -> str:
    """The page of ours that she came from, but not this one."""
    came = urlsplit(request.headers.get("referer") or "")
    ours = came.netloc == request.headers.get("host") and came.path != request.url.path
    return came.path if ours and request.method != "GET" else ""
