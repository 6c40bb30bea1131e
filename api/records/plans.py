"""Plans, every version kept, the weeks they are for, and the turns of growers."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import datetime
from typing import Literal

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.domain.turn import Turn, TurnKind, TurnState

PlanState = Literal["rough", "pencilled", "posted", "in hand", "closed"]
STANDS: tuple[TurnState, ...] = ("firm", "pencilled")
_OF_TURN = tuple(each.name for each in fields(Turn))


@dataclass(frozen=True, slots=True)
class From:
    """What a plan was laid out from: the version of the week's notes, and the plan posted then."""

    notes_version: int = 0
    posted: int | None = None
    by: str = ""


NOWHERE = From()  # of a plan that was handed in, not laid out from the book


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """One version of a week's plan, with all it answers. number counts versions over all weeks.
    called_off: codes of charges whose packing turns stand no longer, as told by as_turned."""

    number: int
    laid_out_at: datetime
    state: PlanState
    asked: Asked
    plan: Plan
    origin: From = NOWHERE
    called_off: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class WeekEntry:
    """A week of the book. notes_version grows with every change of its notes."""

    week: Week
    notes_version: int = 0
    posted: int | None = None


@dataclass(frozen=True, slots=True)
class KeptTurn:
    """A grower's turn in a week of the book."""

    week: Week
    uid: str
    kind: TurnKind
    whose: str  # the grower
    note_id: str
    subject: str
    start: datetime
    end: datetime
    state: TurnState
    title: str
    place: str
    facts: tuple[str, ...]
    changed_at: datetime
    sequence: int

    @classmethod
    def of(cls, week: Week, turn: Turn) -> KeptTurn:
        return cls(week, **{name: getattr(turn, name) for name in _OF_TURN})

    @property
    def turn(self) -> Turn:
        return Turn(**{name: getattr(self, name) for name in _OF_TURN})
