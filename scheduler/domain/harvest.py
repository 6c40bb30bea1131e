"""Growers, their papers, and the harvest notes they send."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from scheduler.domain.clock import Span, WeeklyHours
from scheduler.errors import BadInput, InputFault
from scheduler.units import Grams


@dataclass(frozen=True, slots=True)
class Paper:
    """One thing that must be in date: last day it holds, or None while it is missing."""

    kind: str
    until: date | None


@dataclass(frozen=True, slots=True)
class Grower:
    """A member: who comes to work, and when not.

    people is 2 for a pair, 1 if a kitchen hand must help.
    """

    id: str
    name: str
    farm: str
    shares: int
    people: int
    cannot: tuple[WeeklyHours, ...]
    papers: tuple[Paper, ...]
    away: tuple[Span, ...] = ()

    def papers_short(self, on: date) -> tuple[Paper, ...]:
        """The papers that are missing or past their last day."""
        return tuple(each for each in self.papers if each.until is None or each.until < on)


@dataclass(frozen=True, slots=True)
class HarvestNote:
    """What a grower tells the kitchen before a harvest arrives. Notes are kept in order of call."""

    id: str
    grower_id: str
    card_id: str
    field_g: Grams
    arrives: datetime
    latest_start: datetime  # rule 4: a run that holds a charge of it starts no later
    may_split: bool = True
    second_pair: bool = False
    standing: bool = False
    remark: str = ""

    def __post_init__(self) -> None:
        """BadInput for a weight of nothing: no shares of it can be counted."""
        if self.field_g <= 0:
            told = f"must be at least 1 g, not {self.field_g} g"
            raise BadInput((InputFault("note", None, "field_g", told),))
