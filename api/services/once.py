"""Idempotency keys: a request that comes again under its key is answered again, not done again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from api.records.told import AnsweredOnce
from api.services.errors import KeyUsed
from api.services.ports import Book
from api.services.roles import Doing


@dataclass(frozen=True, slots=True)
class Told:
    """An answer as it goes out."""

    status: int
    body: dict[str, Any]
    headers: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Repeatable:
    """What was asked, and under which key; without a key it is done each time it comes."""

    key: str | None
    text: str

    @property
    def fingerprint(self) -> str:
        return sha256(self.text.encode()).hexdigest()


def told_before(book: Book, doing: Doing, request: Repeatable) -> Told | None:
    """The answer that the same request had; KeyUsed where the key stood on another one."""
    if request.key is None:
        return None
    found = book.answered_once.find(doing.person.id, request.key)
    if found is None:
        return None
    if found.fingerprint != request.fingerprint:
        raise KeyUsed("that Idempotency-Key stood on another request; take a new one")
    return Told(found.status, found.body, found.headers)


def once(book: Book, doing: Doing, request: Repeatable, do: Callable[[], Told]) -> Told:
    """Do it, and keep the answer under its key in the same transaction."""
    before = told_before(book, doing, request)
    if before is not None:
        return before
    told = do()
    if request.key is not None:
        book.answered_once.add(
            AnsweredOnce(
                person_id=doing.person.id,
                key=request.key,
                fingerprint=request.fingerprint,
                status=told.status,
                headers=dict(told.headers),
                body=told.body,
                at=doing.at,
            )
        )
    return told
