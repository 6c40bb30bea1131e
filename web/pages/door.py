"""The door: who may read a page, the form to log in, the way out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import RedirectResponse, Response

from api.records.people import Person
from api.routes.inside import AtDesk, Desk, asked_here, must_be_same_origin
from api.routes.sessions import enter, follow, go_out
from api.schemas.body import Secret
from api.services.errors import NotKnown, TooOften
from api.services.people import anybody
from api.services.ports import Book
from api.services.roles import Doing
from api.services.tokens import known
from web.pages.paper import print_page
from web.views.plain import LogInPage, NothingPage

router = APIRouter(include_in_schema=False)
OF_OURS = re.compile(r"/[\w.-]+(/[\w.-]+)*", re.ASCII)
WHOEVER = Person(
    "here", "whoever sits at this machine", "hand", None, None, datetime.min.replace(tzinfo=UTC)
)
Field = Annotated[str, Form(max_length=200)]


@dataclass(frozen=True, slots=True)
class Visit:
    """Somebody asks for a page. here: at this machine itself."""

    desk: Desk
    here: bool

    @contextmanager
    def reading(self) -> Iterator[tuple[Book, Doing]]:
        """The book, and who reads in it; NotKnown for whom nobody knows.

        A book without people, as after `commonrack demo`, is open to whoever sits at its machine.
        """
        with self.desk.shelf.reading() as book:
            if self.here and not anybody(book):
                yield book, Doing(WHOEVER, self.desk.clock())
            else:
                desk = self.desk
                yield book, known(book, desk.shown, desk.kinds, desk.clock())


async def _visit(request: Request, desk: AtDesk) -> Visit:
    return Visit(desk, asked_here(request))


AtDoor = Annotated[Visit, Depends(_visit)]


def ask_to_log_in(request: Request) -> Response:
    """In place of a page that is not for everybody; afterwards one comes back to it."""
    return print_page(LogInPage(request.url.path if request.method == "GET" else "/"), 401)


@router.get("/log-in")
def log_in_page() -> Response:
    return print_page(LogInPage("/"))


@router.post("/log-in")
def log_in(request: Request, login: Field, password: Field, to: Field = "/") -> Response:
    must_be_same_origin(request)
    to = to if OF_OURS.fullmatch(to) else "/"
    try:
        enter(request, login, password)
    except NotKnown as error:
        return print_page(LogInPage(to, login, str(error)), 401)
    except TooOften as error:
        page = print_page(LogInPage(to, login, str(error)), 429)
        page.headers["Retry-After"] = str(error.wait_s)
        return page
    return RedirectResponse(to, 303)


@router.post("/log-out")
def log_out(request: Request, desk: AtDesk) -> Response:
    go_out(desk, request)
    return RedirectResponse("/log-in", 303)


@router.get("/invited/{secret}")
def invited(request: Request, secret: Secret) -> Response:
    """The link that a grower follows on her telephone."""
    try:
        follow(request, secret)
    except NotKnown:
        return print_page(
            NothingPage("This link does not hold", "Ask the kitchen for a new one."), 401
        )
    return RedirectResponse("/", 303)
