"""What was said and done: messages to growers, the audit trail, answers given once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True, slots=True)
class Message:
    """One text to one grower, waiting in the outbox until a person or a webhook sends it.

    overtaken_by: number of a later text about the same week, which says all that this one would.
    """

    grower_id: str
    text: str
    plan: int
    written_at: datetime
    sent_at: datetime | None = None
    sent_by: str = ""
    overtaken_by: int | None = None
    number: int = 0


@dataclass(frozen=True, slots=True)
class Deed:
    """Who did what, when, to what."""

    at: datetime
    by: str
    act: str
    subject: str
    told: dict[str, Any]
    number: int = 0


@dataclass(frozen=True, slots=True)
class AnsweredOnce:
    """The answer to a request that must not be done twice; key is the asker's own."""

    person_id: str
    key: str
    fingerprint: str
    status: int
    headers: dict[str, Any]
    body: dict[str, Any]
    at: datetime
