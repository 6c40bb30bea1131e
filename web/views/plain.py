"""What the pages without a plan show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from web.views.form import Form
from web.views.links import Link
from web.views.page import Page


@dataclass(frozen=True, slots=True)
class EmptyPage(Page):
    """No plan has been laid out yet: what to do. lay_out: she may do it on a page."""

    template: ClassVar[str] = "empty.html"
    command: str = "commonrack demo"
    lay_out: bool = False


@dataclass(frozen=True, slots=True)
class NoKitchenPage(Page):
    """The book has plans at most, as after `commonrack demo`: how it comes to a kitchen."""

    template: ClassVar[str] = "no_kitchen.html"
    command: str = "commonrack take-in august"


@dataclass(frozen=True, slots=True)
class NothingPage(Page):
    """There is nothing to show to who is asking."""

    template: ClassVar[str] = "nothing.html"
    title: str
    detail: str


@dataclass(frozen=True, slots=True)
class LogInPage(Page):
    """The form to log in; told: why the last try was in vain."""

    template: ClassVar[str] = "log_in.html"
    form: Form
    told: str = ""


@dataclass(frozen=True, slots=True)
class FormPage(Page):
    """A page that is a form and a few words about it."""

    template: ClassVar[str] = "form.html"
    title: str
    detail: str
    form: Form


@dataclass(frozen=True, slots=True)
class SurePage(Page):
    """Asks once more before what cannot be undone. back: where it is left as it is."""

    template: ClassVar[str] = "sure.html"
    title: str
    detail: str
    form: Form
    back: Link


@dataclass(frozen=True, slots=True)
class ProblemPage(Page):
    """What went wrong in the words of the problem that the API would answer with, and what to do.

    detail_language: of the detail, which the book itself wrote. changes: what changed meanwhile.
    """

    template: ClassVar[str] = "problem.html"
    title: str
    detail: str
    detail_language: str
    advice: str
    changes: tuple[str, ...]
    back: Link
