"""Plans, every version kept, the weeks they are for, and the turns that growers were promised."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, Week
from scheduler.domain.plan import Plan

PlanState = Literal["rough", "pencilled", "posted", "in hand", "closed"]
TurnKind = Literal["bringing", "packing"]
TurnState = Literal["firm", "pencilled", "let go", "stood down"]
STANDS: tuple[TurnState, ...] = ("firm", "pencilled")


@dataclass(frozen=True, slots=True)
class From:
    """What a plan was laid out from: the version of the week's notes, and the plan posted then."""

    notes_version: int = 0
    posted: int | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """One version of a week's plan, with all it answers. number counts versions over all weeks."""

    number: int
    laid_out_at: datetime
    state: PlanState
    asked: Asked
    plan: Plan
    origin: From = From()


@dataclass(frozen=True, slots=True)
class WeekEntry:
    """A week of the book. notes_version grows with every change of its notes."""

    week: Week
    notes_version: int = 0
    posted: int | None = None


@dataclass(frozen=True, slots=True)
class Turn:
    """When a grower is expected. uid stays; sequence grows whenever anything else changes."""

    uid: str
    week: Week
    note_id: str
    grower_id: str
    kind: TurnKind
    code: str  # of the charge
    start: datetime
    end: datetime
    state: TurnState
    sequence: int
    plan: int
    changed_at: datetime

    @property
    def span(self) -> Span:
        return Span(self.start, self.end)
