"""What a route is handed: the book, and who is asking."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from ipaddress import ip_address
from typing import Annotated
from urllib.parse import urlsplit

from fastapi import Depends, Request, Security
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer

from api.records.people import TokenKind
from api.services.errors import NotAllowed
from api.services.ports import Book, Shelf
from api.services.roles import Doing
from api.services.tokens import known

IN_COOKIE: tuple[TokenKind, ...] = ("session", "invitation")
IN_HEADER: tuple[TokenKind, ...] = ("api", "invitation")
HARMLESS = ("GET", "HEAD", "OPTIONS")
COOKIE_KEY = "token"
HERE = ("127.0.0.1", "::1", "localhost")
PASSED_ON = ("forwarded", "via", "x-forwarded-for", "x-forwarded-host", "x-real-ip")
_bearer = HTTPBearer(auto_error=False, description="An API token or an invitation's secret.")


@dataclass(frozen=True, slots=True)
class Desk:
    """Where a request is heard: the shelf, the clock, and the secret that it showed."""

    shelf: Shelf
    clock: Callable[[], datetime]
    shown: str
    kinds: tuple[TokenKind, ...]

    @contextmanager
    def reading(self) -> Iterator[tuple[Book, Doing]]:
        """The book to look at, and who is asking; NotKnown where nobody knows her."""
        with self.shelf.reading() as book:
            yield book, known(book, self.shown, self.kinds, self.clock())

    @contextmanager
    def writing(self) -> Iterator[tuple[Book, Doing]]:
        """The book to write in: kept when the block ends, before anything is answered."""
        with self.shelf.writing() as book:
            yield book, known(book, self.shown, self.kinds, self.clock())


async def desk_for(
    request: Request,
    bearer: Annotated[HTTPAuthorizationCredentials | None, Security(_bearer)],
) -> Desk:
    shelf, clock = request.app.state.shelf, request.app.state.clock
    if bearer is not None:
        return Desk(shelf, clock, bearer.credentials, IN_HEADER)
    must_be_same_origin(request)
    return Desk(shelf, clock, str(request.session.get(COOKIE_KEY, "")), IN_COOKIE)


def must_be_same_origin(request: Request) -> None:
    """A page from elsewhere may not act with the cookie of who is looking at it.

    An unsafe request must name its origin, and it must be ours (OWASP: standard headers).
    """
    if request.method in HARMLESS:
        return
    origin = request.headers.get("origin") or request.headers.get("referer") or ""
    site = _site(origin)
    if site is None or site != request.headers.get("host"):
        raise NotAllowed("that came from another site; send an API token, or ask from our pages")


def asked_here(request: Request) -> bool:
    """Whether somebody at this very machine asks: from it, for it by its own name, and not for
    somebody else, as a proxy on it does."""
    try:
        near = ip_address(request.client.host).is_loopback if request.client else False
    except ValueError:
        near = False
    passed_on = any(name in request.headers for name in PASSED_ON)
    return near and not passed_on and request.url.hostname in HERE


def _site(origin: str) -> str | None:
    try:
        return urlsplit(origin).netloc
    except ValueError:  # "http://[" is nobody's
        return None


AtDesk = Annotated[Desk, Depends(desk_for)]
