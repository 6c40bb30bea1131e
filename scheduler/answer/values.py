"""What a grower is told at once about a note: a place with all that goes with it, or no room."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan, Waiting
from scheduler.domain.rules import TITLES
from scheduler.process.money import BreakEven, FeeLine
from scheduler.units import Racks, Seconds


@dataclass(frozen=True, slots=True)
class TurnToCome:
    """A turn to come. Bringing: at work from the wash until her part is done."""

    kind: Literal["bringing", "packing"]
    span: Span


@dataclass(frozen=True, slots=True)
class PlacedCharge:
    """One charge of the note and its run; start to end is the drying, unloaded after that.

    packing is None under a rule book that leaves it out.
    """

    letter: str  # "" where the lot is whole, else A, B, C
    dryer_id: str
    dryer: str
    run_id: str
    shares_run: bool  # with what was posted before
    racks: Racks
    start: datetime
    end: datetime
    steam_loads: int
    packing: Span | None
    bags: int

    @property
    def drying_s(self) -> Seconds:
        return Span(self.start, self.end).seconds


@dataclass(frozen=True, slots=True)
class Price:
    """In minor units: the bill's lines (sum: fees), the bags themselves, what a bag must bring.

    break_even is None where the note fills no bag.
    """

    lines: tuple[FeeLine, ...]
    packs: FeeLine
    fees: int
    own_work: int
    break_even: BreakEven | None


@dataclass(frozen=True, slots=True)
class Bags:
    """Full bags at the weight noted, and when it weighs in 30 % lighter or heavier (demo)."""

    likely: int
    fewest: int
    most: int


@dataclass(frozen=True, slots=True)
class Caps:
    """Rule 16 as figures.

    turns: the grower's in the month of this answer, this answer's included; where it touches two
    months, of the fuller one. Standing lots' rack-seconds, this answer
    included, against all that the dryers could hold in the week: racks x calendar time from the
    first opening to the last closing, as in measures. over: a sentence for every cap passed.
    """

    turns: int
    most_turns: int
    standing_rack_s: int
    week_rack_s: int
    most_standing_percent: int
    over: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """A place beside everything posted: provisional until a plan with it is posted.

    arrive: bring it within this span, from its arrival to the start of the first wash. plan is the
    posted plan with the note in it, verified: the next answer is made against it. rest: what of the
    note has no place and waits, with its reason.
    """

    note_id: str
    arrive: Span
    turns: tuple[TurnToCome, ...]  # in order of start
    charges: tuple[PlacedCharge, ...]  # in order of letter
    price: Price
    bags: Bags
    papers_short: tuple[str, ...]
    caps: Caps
    rest: Waiting | None
    plan: Plan
    provisional: bool = True

    @property
    def state(self) -> Literal["papers short", "pencilled"]:
        """Rule 15: it is pencilled all the same, but may not be firm while papers are short."""
        return "papers short" if self.papers_short else "pencilled"

    @property
    def may_be_firm(self) -> bool:
        """Rules 15 and 16, as things stand."""
        return not self.papers_short and not self.caps.over

    @property
    def racks(self) -> Racks:
        return Racks(sum(charge.racks for charge in self.charges))

    @property
    def steam_loads(self) -> int:
        return sum(charge.steam_loads for charge in self.charges)

    @property
    def drying_s(self) -> Seconds:
        """Hours in dryers, charge by charge added up."""
        return Seconds(sum(charge.drying_s for charge in self.charges))


@dataclass(frozen=True, slots=True)
class NoRoom:
    """Nothing of the note has a place beside what is posted: it goes on the waiting list."""

    note_id: str
    rule: int
    reason: str  # one sentence, the rule's number behind it
    waiting: Waiting

    @property
    def title(self) -> str:
        return TITLES[self.rule]
