"""Turns and shares: what each grower had of the kitchen so far, and whose turn it is (goal B).

How it is reckoned, so that anyone can do it again with a pencil:

1. A record is one grower's one week: rack-hours served (racks x hours from run start to the end of
   drying, cool hold not counted, runs already started included), notes refused (nothing of the note
   had a place), and bumps (a note had a place in the posted plan and has less or none in the plan
   after it).
2. A grower's line adds up her records. Served per share is her rack-hours over her shares.
3. Whose turn: members before those without shares, who fill what is left. Among members those
   bumped in the last week that they have a record of come first (nobody is bumped twice running);
   then the least served per share; then those more often refused; then the order of the growers'
   list. Those without shares are ordered alike, each counted as one share.
4. Notes are called in rounds: everybody's first note (in order of call) in order of turn, then
   everybody's second, and so on.

How goal B enters the lay-out without costing goal A a gram: `in_turn` gives the week with its
notes called in that order. The whiteboard fills in order of call and keeps the earlier of two plans
of one worth, so among those the fairer order wins.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, Week
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.plan import Plan
from scheduler.started import all_runs
from scheduler.units import HOUR

WEEKS = 13  # a quarter of a year: what was had before counts no longer (demo)


@dataclass(frozen=True, slots=True)
class Record:
    """One grower's one week. rack_s: rack-seconds served; refused, bumped: notes."""

    week: Week
    grower_id: str
    rack_s: int
    refused: int = 0
    bumped: int = 0


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """All of a grower's records against her shares; bumped_last: in the last week on record."""

    grower_id: str
    shares: int
    rack_s: int
    refused: int
    bumped_last: bool

    @property
    def per_share(self) -> Fraction:
        """Rack-hours served for each share (for each grower, where she has none)."""
        return Fraction(self.rack_s, HOUR * max(1, self.shares))


def records(asked: Asked, plan: Plan, *, posted: Plan | None = None) -> tuple[Record, ...]:
    """The week of every grower who asked for a place or has one, in the order of the list.

    posted: the plan before this one, where there was one, from which bumps are read.
    """
    grower_of = {note.id: note.grower_id for note in asked.notes}
    served: dict[str, int] = {}
    for run in all_runs(asked, plan):
        for charge in run.charges:
            seconds = charge.racks * Span(run.start, run.end).seconds
            served[charge.note_id] = served.get(charge.note_id, 0) + seconds
    started = {charge.note_id for run in asked.happened.runs for charge in run.charges}
    less = _bumped(posted, plan) - started if posted else set()
    return tuple(
        Record(
            week=asked.week,
            grower_id=grower.id,
            rack_s=sum(served.get(each, 0) for each in own),
            refused=sum(each not in served for each in own),
            bumped=len(less.intersection(own)),
        )
        for grower in asked.growers
        if (own := [note for note, whose in grower_of.items() if whose == grower.id])
    )


def _bumped(posted: Plan, plan: Plan) -> set[str]:
    """The notes with fewer racks than were posted for them."""
    before, after = _racks(posted), _racks(plan)
    return {note for note, racks in before.items() if after.get(note, 0) < racks}


def _racks(plan: Plan) -> dict[str, int]:
    racks: dict[str, int] = {}
    for _, charge in plan.charges():
        racks[charge.note_id] = racks.get(charge.note_id, 0) + charge.racks
    return racks


def ledger(growers: Iterable[Grower], past: Iterable[Record]) -> tuple[LedgerLine, ...]:
    """A line for every grower, those first whose turn it is."""
    kept = tuple(past)
    return tuple(sorted((_line(grower, kept) for grower in growers), key=_turn))


def _line(grower: Grower, past: tuple[Record, ...]) -> LedgerLine:
    own = [record for record in past if record.grower_id == grower.id]
    last = max((record.week for record in own), default=None)
    return LedgerLine(
        grower_id=grower.id,
        shares=grower.shares,
        rack_s=sum(record.rack_s for record in own),
        refused=sum(record.refused for record in own),
        bumped_last=any(record.bumped for record in own if record.week == last),
    )


def _turn(line: LedgerLine) -> tuple[bool, bool, Fraction, int]:
    return (line.shares < 1, not line.bumped_last, line.per_share, -line.refused)


def in_turn(asked: Asked, lines: Iterable[LedgerLine]) -> Asked:
    """The same week with its notes called in turn (point 4 above); whoever has no line is last."""
    return replace(asked, notes=tuple(_called(asked, lines)))


def _called(asked: Asked, lines: Iterable[LedgerLine]) -> list[HarvestNote]:
    turn = {line.grower_id: place for place, line in enumerate(lines)}
    had: dict[str, int] = {}
    rounds: dict[str, int] = {}
    for note in asked.notes:
        rounds[note.id] = had.get(note.grower_id, 0)
        had[note.grower_id] = rounds[note.id] + 1
    return sorted(
        asked.notes, key=lambda note: (rounds[note.id], turn.get(note.grower_id, len(turn)))
    )
