"""A mended plan: what it keeps, who moves from when to when and why, and what an emergency asks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from scheduler.domain.clock import Span
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan
from scheduler.units import Grams, Seconds

MovedKind = Literal["bringing", "packing"]


@dataclass(frozen=True, slots=True)
class TurnMove:
    """A grower's turn that is not when it was.

    was: None for a new turn; now: None for one that falls away. notice_s: from the moment of
    mending to the earlier of both. weight: what the move counts, in grams of worth. rule: the rule
    in the way of its staying, 0 where it moves so that others have a place. forced: it cannot stay.
    """

    grower_id: str
    note_id: str
    kind: MovedKind
    was: Span | None
    now: Span | None
    notice_s: Seconds
    weight: int
    rule: int
    reason: str
    forced: bool


@dataclass(frozen=True, slots=True)
class Mend:
    """One way to go on.

    kept and lost: notes of the plan in hand that still have all of their place, and those that have
    less. gained: notes that have a place, or more of one, now. seconds: it took.
    """

    plan: Plan
    moves: tuple[TurnMove, ...]
    kept: tuple[str, ...]
    lost: tuple[str, ...]
    gained: tuple[str, ...]
    worth_g: Grams
    seconds: float

    @property
    def weight(self) -> int:
        return sum(each.weight for each in self.moves)


@dataclass(frozen=True, slots=True)
class Call:
    """Somebody to ring. telephone: "" where the kitchen file has none (the book knows growers')."""

    who: str  # a hand's name or a grower's id
    telephone: str
    why: str
    note_ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Way:
    """Where racks of a stopped charge may go: station, from when, until when the clock lets them,
    and how many racks fit. start: of the run, or of the keeping; ends: end of drying."""

    kind: Literal["dryer", "part-dry shelf", "freezer"]
    station_id: str
    racks: int
    start: datetime
    ends: datetime | None
    until: datetime


@dataclass(frozen=True, slots=True)
class Decision:
    """What the tool does not decide: asked of a named person when the clock reaches the limit."""

    code: str
    who: str
    exposed_s: Seconds
    at: datetime
    question: str


@dataclass(frozen=True, slots=True)
class Emergency:
    """A dryer stopped with charges inside. part_lots: the proposal. ways: by code of the stopped
    charge, every place that is open to its racks. calls: in the order of ringing."""

    dryer_id: str
    stopped: datetime
    at: datetime
    part_lots: tuple[PartLot, ...]
    ways: dict[str, tuple[Way, ...]]
    calls: tuple[Call, ...]
    decisions: tuple[Decision, ...]


@dataclass(frozen=True, slots=True)
class ReLaid:
    """Both mends of a plan in hand. small: only what cannot stay is taken off and put back. whole:
    the rest of the week laid out anew, None where it is not worth more. calls: growers to ring, by
    the proposed mend, least notice first."""

    small: Mend
    whole: Mend | None
    proposed: Literal["small", "whole"]
    why: str
    calls: tuple[Call, ...]
