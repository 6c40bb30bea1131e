"""What the pages without a plan show, and what all pages tell of who reads them."""

from __future__ import annotations

from dataclasses import dataclass

from api.services.roles import Doing


@dataclass(frozen=True, slots=True)
class EmptyPage:
    """No plan has been laid out yet: what to do."""

    command: str = "commonrack demo"


@dataclass(frozen=True, slots=True)
class NothingPage:
    """There is nothing to show to who is asking."""

    title: str
    detail: str


@dataclass(frozen=True, slots=True)
class LogInPage:
    """The form to log in. to: where one goes afterwards; told: why the last try was in vain."""

    to: str
    login: str = ""
    told: str = ""


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads a page. known: she has logged in, so she can log out."""

    name: str
    known: bool


def reader_of(doing: Doing) -> Reader:
    return Reader(doing.person.name, known=doing.person.added_at.year > 1)


@dataclass(frozen=True, slots=True)
class ProblemPage:
    """What went wrong, in the words of the problem that the API would answer with."""

    title: str
    detail: str
