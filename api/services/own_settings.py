"""How a person reads the pages: language and units, her own to set."""

from __future__ import annotations

from dataclasses import replace

from api.records.people import OwnSettings
from api.services.deeds import keep_deed
from api.services.ports import Book
from api.services.roles import Act, Doing, must


def own_settings(book: Book, doing: Doing) -> OwnSettings:
    """What she set; empty where she never did."""
    must(doing, Act.OWN_SETTINGS)
    return book.own_settings.find(doing.person.id) or OwnSettings(doing.person.id)


def keep_own_settings(book: Book, doing: Doing, wanted: OwnSettings) -> None:
    """In the place of what she set before; whoever is named in them, they are her own."""
    before, after = own_settings(book, doing), replace(wanted, person_id=doing.person.id)
    book.own_settings.replace(after)
    keep_deed(book, doing, Act.OWN_SETTINGS, doing.person.id, before=before, to=after)
