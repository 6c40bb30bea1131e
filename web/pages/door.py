"""The door: the form to log in, the way out, and the link that a grower was sent."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from api.routes.inside import AtDesk, must_be_same_origin
from api.routes.sessions import enter, follow, go_out
from api.schemas.body import Secret
from api.services.errors import NotKnown, TooOften
from web.pages.paper import print_page
from web.pages.visit import stranger
from web.views.door import log_in_form
from web.views.plain import LogInPage, NothingPage

router = APIRouter(include_in_schema=False)
OF_OURS = re.compile(r"/[\w.-]+(/[\w.-]+)*", re.ASCII)
Field = Annotated[str, Form(max_length=200)]


def ask_to_log_in(request: Request) -> Response:
    """In place of a page that is not for everybody; afterwards one comes back to it."""
    to = request.url.path if request.method == "GET" else "/"
    return _log_in(request, 401, said={"to": to})


@router.get("/log-in")
def log_in_page(request: Request) -> Response:
    return _log_in(request, 200, said={"to": "/"})


@router.post("/log-in")
def log_in(request: Request, login: Field, password: Field, to: Field = "/") -> Response:
    must_be_same_origin(request)
    said = {"to": to if OF_OURS.fullmatch(to) else "/", "login": login}
    try:
        enter(request, login, password)
    except NotKnown as error:
        return _log_in(request, 401, said=said, told=str(error))
    except TooOften as error:
        page = _log_in(request, 429, said=said, told=str(error))
        page.headers["Retry-After"] = str(error.wait_s)
        return page
    return RedirectResponse(said["to"], 303)


def _log_in(request: Request, status: int, *, said: dict[str, str], told: str = "") -> Response:
    reading = stranger(request)
    page = LogInPage(log_in_form(reading).filled(said, ""), reading.say(told) if told else "")
    return print_page(page, status, reading=reading)


@router.post("/log-out")
def log_out(request: Request, desk: AtDesk) -> Response:
    go_out(desk, request)
    return RedirectResponse("/log-in", 303)


@router.get("/invited/{secret}")
def invited(request: Request, secret: Secret) -> Response:
    """The link that a grower follows on her telephone."""
    reading = stranger(request)
    try:
        follow(request, secret)
    except NotKnown:
        title = reading.say("This link does not hold")
        page = NothingPage(title, reading.say("Ask the kitchen for a new one."))
        return print_page(page, 401, reading=reading)
    return RedirectResponse("/", 303)
