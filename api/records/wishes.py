"""What the manager wants of a week by hand: who wished it when, and whether it was undone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.clock import Span, Week
from scheduler.domain.wish import Wish, WishKind


@dataclass(frozen=True, slots=True)
class WishEntry:
    """One wish of a week; undone_at is None while it holds. Only its undoing changes it."""

    week: Week
    kind: WishKind
    note_id: str
    dryer_id: str
    start: datetime | None  # of its span
    end: datetime | None
    by: str
    at: datetime
    undone_at: datetime | None = None
    undone_by: str = ""
    number: int = 0

    @property
    def wish(self) -> Wish:
        span = None if self.start is None or self.end is None else Span(self.start, self.end)
        return Wish(self.number, self.kind, self.note_id, self.dryer_id, span)
