"""The audit trail: who did what, when, to what."""

from __future__ import annotations

from typing import Any

from api.records.told import Deed
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.plan_file import value_to_json


def keep_deed(book: Book, doing: Doing, act: Act, subject: str, **told: Any) -> None:
    """Write down what is being done; told are domain values: what it is changed to, and from."""
    plain = {name: value_to_json(value) for name, value in told.items()}
    book.deeds.add(Deed(doing.at, doing.person.id, act, subject, plain))


def deeds(book: Book, doing: Doing, *, after: int | None, limit: int | None) -> tuple[Deed, ...]:
    """The trail in order, from behind that number on."""
    must(doing, Act.READ_DEEDS)
    return book.deeds.where(after=after, limit=limit)
