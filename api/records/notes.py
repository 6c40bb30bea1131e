"""Harvest notes as the book keeps them, standing lots, and lots weighed in at the door."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import datetime, time
from typing import Any, Literal

from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.units import Grams

NoteState = Literal[
    "noted",
    "pencilled",
    "firm",
    "at the door",
    "let go",
    "stood down",
    "no-show",
    "carried over",
]
LotState = Literal[
    "raw", "on racks", "off racks", "held", "back to dryer", "passed", "packed", "discarded"
]
ASKING: tuple[NoteState, ...] = ("noted", "pencilled", "firm", "at the door")
_OF_NOTE = tuple(each.name for each in fields(HarvestNote))


@dataclass(frozen=True, slots=True)
class NoteEntry:
    """A harvest note with its place in the order of call, its week and its state.

    Noted means that nobody decided yet; whether papers are short follows from the papers.
    answer is what the grower was told when she rang, as JSON values.
    """

    id: str
    called: int
    week: Week
    state: NoteState
    grower_id: str
    card_id: str
    field_g: Grams
    arrives: datetime
    latest_start: datetime
    may_split: bool
    second_pair: bool
    standing: bool
    remark: str
    noted_at: datetime
    noted_by: str
    answer: dict[str, Any] | None = None
    version: int = 1

    @property
    def note(self) -> HarvestNote:
        return HarvestNote(**{name: getattr(self, name) for name in _OF_NOTE})

    @property
    def asks(self) -> bool:
        """Whether it still asks for a place."""
        return self.state in ASKING


def note_fields(note: HarvestNote) -> dict[str, Any]:
    """The part of an entry that is the note itself, for NoteEntry(...) and replace(...)."""
    return {name: getattr(note, name) for name in _OF_NOTE}


@dataclass(frozen=True, slots=True)
class StandingLot:
    """A lot that comes every week, by the kitchen's clock; from the first week to the last."""

    grower_id: str
    card_id: str
    field_g: Grams
    weekday: int  # 0 is Monday
    at: time
    may_split: bool
    second_pair: bool
    remark: str
    first: Week
    last: Week | None
    number: int = 0
    version: int = 1


@dataclass(frozen=True, slots=True)
class Lot:
    """One grower's one crop as weighed in at the door."""

    code: str
    note_id: str
    grower_id: str
    week: Week
    weighed_g: Grams
    at: datetime
    state: LotState
    bags: int | None = None
    version: int = 1
