"""What the manager wants of a week by hand, beyond the rules: pinned, forbidden, left free."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from scheduler.domain.clock import Span

WishKind = Literal["pin", "forbid", "leave free"]


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish for a week; number tells it from the others.

    pin: every charge of the note goes into runs on that dryer that start in the span. A note with
    several pins may choose among them. forbid: none of its charges does. leave free: no run is on
    the dryer in the span. dryer_id "" means any dryer, span None means whenever.
    """

    number: int
    kind: WishKind
    note_id: str = ""
    dryer_id: str = ""
    span: Span | None = None

    def meets(self, dryer_id: str, start: datetime) -> bool:
        """Whether a run on that dryer that starts then is one of those meant."""
        here = self.dryer_id in ("", dryer_id)
        return here and (self.span is None or self.span.holds(start))
