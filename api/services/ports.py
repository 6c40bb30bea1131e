"""What the use cases need from outside."""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """One version of a week's plan, with all it answers. number counts versions over all weeks."""

    number: int
    laid_out_at: datetime
    state: str
    asked: Asked
    plan: Plan


class Plans(Protocol):
    """The kept plans, inside one transaction."""

    def add(self, asked: Asked, plan: Plan, *, laid_out_at: datetime, state: str) -> int:
        """Keep a new version; its number."""
        ...

    def newest_of(self, week: Week) -> KeptPlan | None:
        """The version of that week laid out last."""
        ...

    def newest(self) -> KeptPlan | None:
        """The version laid out last of all."""
        ...

    def weeks(self) -> tuple[Week, ...]:
        """The weeks that have a plan, in order."""
        ...


class Shelf(Protocol):
    """Where plans are kept."""

    def reading(self) -> AbstractContextManager[Plans]:
        """Looks, and leaves everything as it was."""
        ...

    def writing(self) -> AbstractContextManager[Plans]:
        """Keeps all that was added on the way out, or nothing if an error comes through."""
        ...
