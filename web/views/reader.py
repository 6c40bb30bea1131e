"""Who reads a page: her name, how she reads, and the pages that are hers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from api.records.people import OwnSettings, Person
from api.services.own_settings import own_settings
from api.services.ports import Book
from api.services.roles import Act, Doing
from scheduler.domain.kitchen import Kitchen
from web.languages import LANGUAGES
from web.views.links import Link
from web.views.navigation import navigation
from web.views.reading import Reading

WHOEVER = Person(
    "here", "whoever sits at this machine", "hand", None, None, datetime.min.replace(tzinfo=UTC)
)


@dataclass(frozen=True, slots=True)
class Undo:
    """A form of one button that takes back what was just done."""

    action: str
    button: str
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Notice:
    """One line about what was just done."""

    text: str
    undo: Undo | None = None


@dataclass(frozen=True, slots=True)
class Reader:
    """known: she has logged in, so she can log out and keep settings."""

    name: str
    known: bool
    kitchen: str
    reading: Reading
    navigation: tuple[tuple[Link, ...], ...]
    own_settings: bool


def reader_of(book: Book, doing: Doing, *, language: str, path: str = "") -> Reader:
    """language: what her browser asks for; path: the page she is on."""
    known = doing.person is not WHOEVER
    kitchen = _kitchen(book)
    may_set = known and doing.reach(Act.OWN_SETTINGS) == "all"
    own = own_settings(book, doing) if may_set else OwnSettings("")
    reading = Reading(
        language=own.language if own.language in LANGUAGES else language,
        weight_unit=own.weight_unit or (kitchen.weight_unit if kitchen else "kg"),
        temperature_unit=own.temperature_unit or (kitchen.temperature_unit if kitchen else "C"),
        zone=kitchen.zone if kitchen else None,
    )
    return Reader(
        name=doing.person.name,
        known=known,
        kitchen=kitchen.name if kitchen else "Commonrack",
        reading=reading,
        navigation=navigation(doing, reading, path=path),
        own_settings=may_set,
    )


def _kitchen(book: Book) -> Kitchen | None:
    """The one in force; in a book that has only plans, as after `commonrack demo`, that of the
    newest."""
    settings = book.settings.last()
    if settings is not None:
        return settings.kitchen
    newest = book.plans.newest()
    return None if newest is None else newest.asked.kitchen
