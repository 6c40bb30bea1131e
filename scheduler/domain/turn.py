"""A turn: what stands in a calendar, for a grower, at a station, or for those on call."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from scheduler.domain.clock import Span

TurnKind = Literal[
    "bringing",
    "packing",
    "washing",
    "cutting",
    "steaming",
    "chilling",
    "keeping",
    "run",
    "unload",
    "wash-down",
    "dry check",
    "on call",
]
TurnState = Literal["pencilled", "firm", "let go", "stood down"]
CALLED_OFF: tuple[TurnState, ...] = ("let go", "stood down")
ON_CALL = "on call"  # whose turn a night is


@dataclass(frozen=True, slots=True)
class Turn:
    """When a grower is expected (bringing, packing), a station is taken, or a night is watched.

    uid stays for good; sequence grows whenever anything else changes, and changed_at (UTC) tells
    when that was. whose is a grower's id, a station's id or ON_CALL; subject a charge's code, the
    codes of a run's charges, or the day before a night. note_id is "" where there is more than one.
    """

    uid: str
    kind: TurnKind
    whose: str
    note_id: str
    subject: str
    start: datetime
    end: datetime
    state: TurnState
    title: str
    place: str
    facts: tuple[str, ...]
    changed_at: datetime
    sequence: int = 0

    @property
    def span(self) -> Span:
        return Span(self.start, self.end)

    @property
    def stands(self) -> bool:
        """Whether it still takes place."""
        return self.state not in CALLED_OFF
