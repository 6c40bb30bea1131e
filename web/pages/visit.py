"""A visit: somebody asks for a page, reads it, sends a form, and is led on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from api.routes.inside import AtDesk, Desk, asked_here
from api.services.once import Told, once
from api.services.people import anybody
from api.services.ports import Book
from api.services.roles import Doing
from api.services.tokens import known
from web.languages import best_of
from web.pages.paper import print_page
from web.pages.posted import Posted
from web.views.page import Page
from web.views.reader import WHOEVER, Notice, Reader, Undo, reader_of
from web.views.reading import Reading

NOTICE = "notice"  # in the session, between a form and the page it leads to


@dataclass(frozen=True, slots=True)
class Onward:
    """What follows a form that was done: the page to go to, and what is told there."""

    to: str
    told: str = ""
    undo: Undo | None = None


@dataclass(frozen=True, slots=True)
class Visit:
    """Somebody asks for a page. here: at this machine itself."""

    desk: Desk
    here: bool
    asked: Request

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

    @contextmanager
    def writing(self) -> Iterator[tuple[Book, Doing]]:
        """The book to write in, for who is known; a form from another site never comes so far."""
        with self.desk.writing() as found:
            yield found

    @contextmanager
    def rehearsing(self) -> Iterator[tuple[Book, Doing]]:
        """The book to write in for a look at what would come of it: nothing is kept."""
        desk = self.desk
        with desk.shelf.rehearsing() as book:
            yield book, known(book, desk.shown, desk.kinds, desk.clock())

    def reader(self, book: Book, doing: Doing) -> Reader:
        """Who reads, for the frame around the page."""
        return reader_of(book, doing, language=language_of(self.asked), path=self.asked.url.path)

    def show(self, page: Page, reader: Reader, status: int = 200) -> HTMLResponse:
        """The page in its frame, with what the last form has to tell."""
        return print_page(page, status, reader=reader, notice=self._notice())

    def once(self, posted: Posted, do: Callable[[Book, Doing], Onward]) -> RedirectResponse:
        """Do it in one transaction, once however often the form is sent, and lead on."""
        with self.writing() as (book, doing):
            told = once(book, doing, posted.request, lambda: as_told(do(book, doing)))
        return self.onward(told)

    def onward(self, told: Told) -> RedirectResponse:
        """To the page that a form leads to, where what was done is told."""
        if told.body.get("text"):
            self.asked.session[NOTICE] = told.body
        return RedirectResponse(told.headers["Location"], 303)

    def _notice(self) -> Notice | None:
        kept = self.asked.session.pop(NOTICE, None)
        if kept is None:
            return None
        undo = kept["undo"]
        fields = tuple((name, value) for name, value in undo["fields"]) if undo else ()
        return Notice(kept["text"], Undo(undo["action"], undo["button"], fields) if undo else None)


def as_told(onward: Onward) -> Told:
    """As it is kept under the form's key."""
    undo: Mapping[str, Any] | None = None
    if onward.undo:
        fields = [list(each) for each in onward.undo.fields]
        undo = {"action": onward.undo.action, "button": onward.undo.button, "fields": fields}
    return Told(303, {"text": onward.told, "undo": undo}, {"Location": onward.to})


def language_of(request: Request) -> str:
    """What the browser asks for, of the languages that there are."""
    return best_of(request.headers.get("accept-language", ""))


def stranger(request: Request) -> Reading:
    """How somebody reads whom nobody knows."""
    return Reading(language_of(request))


async def _visit(request: Request, desk: AtDesk) -> Visit:
    return Visit(desk, asked_here(request), request)


AtDoor = Annotated[Visit, Depends(_visit)]
