"""Who may open the book, and the secrets they show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Role = Literal["manager", "hand", "grower", "board", "on_call"]
TokenKind = Literal["session", "api", "invitation", "feed"]
WeightUnit = Literal["", "kg", "lb"]
TemperatureUnit = Literal["", "C", "F"]


@dataclass(frozen=True, slots=True)
class Person:
    """id is the log-in name. A grower's person is tied to her own page of growers."""

    id: str
    name: str
    role: Role
    grower_id: str | None
    password_hash: str | None  # None: she cannot log in, only follow an invitation
    added_at: datetime
    left_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class OwnSettings:
    """How a person reads the pages; "" where she leaves it to the kitchen or to her browser."""

    person_id: str
    language: str = ""
    weight_unit: WeightUnit = ""
    temperature_unit: TemperatureUnit = ""


@dataclass(frozen=True, slots=True)
class Token:
    """A secret given out, of which only the hash is kept.

    acts narrows what it may be used for; empty means all that the person's role may.
    subject is what a feed shows: "grower G01", "station D1", "on call".
    """

    id: str
    kind: TokenKind
    person_id: str
    secret_hash: str
    acts: tuple[str, ...]
    subject: str
    label: str
    given_at: datetime
    ends_at: datetime | None
    revoked_at: datetime | None = None

    def holds(self, at: datetime) -> bool:
        """Whether it may still be used at that instant."""
        return self.revoked_at is None and (self.ends_at is None or at < self.ends_at)
