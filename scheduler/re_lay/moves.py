"""Who moves from when to when and why: the turns of two plans held against each other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.mend import MovedKind, TurnMove
from scheduler.domain.plan import Moved, Plan
from scheduler.emergency.notice import notice_h, weight_g
from scheduler.home import paired, shift_g
from scheduler.turns import stays
from scheduler.units import GRID, HOUR, Seconds

OTHERS = (
    "It moves so that more of what was brought, or will be, has a place, or a turn of less notice "
    "stays."
)
Turns = Mapping[tuple[str, MovedKind], list[Span]]
Pair = tuple[Span | None, Span | None]
FIRST, LATER, EVERY = slice(1), slice(1, None), slice(None)  # of a charge's days


@dataclass(frozen=True, slots=True)
class Weighing:
    """What each grower's turns weigh at a moment. moved_before: growers."""

    asked: Asked
    now: datetime
    moved_before: Collection[str] = ()

    def of(self, note_id: str, start: datetime) -> int:
        grower_id = self.asked.note(note_id).grower_id
        return weight_g(
            notice_h(self.now, start),
            firm=note_id in self.asked.promised.firm,
            again=grower_id in self.moved_before,
        )

    def move(self, note_id: str, pair: Pair) -> int:
        """By notice of the time it had, and by how far it goes; nothing for one that is new."""
        was, now = pair
        if was is None:
            return 0
        weight = self.of(note_id, was.start)
        if now is None:
            return weight
        return shift_g(weight, round(abs(now.start - was.start).total_seconds()) // GRID)


def turns_in(asked: Asked, plan: Plan, days: slice = EVERY) -> Turns:
    """By note and kind, in order of start: each day in the kitchen before the dryer, and packing.

    days: which of a charge's days before the dryer. Under a rule book that leaves the work out,
    bringing is the start of the run.
    """
    open_notes = {note.id for note in asked.open_notes()}
    found: dict[tuple[str, MovedKind], list[Span]] = defaultdict(list)
    for run, charge in plan.charges():
        if charge.note_id in open_notes:
            spans = stays(asked, plan, run, charge)
            if charge.preparation is None:
                spans = [Span(run.start, run.start)]
            found[charge.note_id, "bringing"].extend(spans[days])
            if charge.after:
                found[charge.note_id, "packing"].append(charge.after.packing)
    return {key: sorted(spans) for key, spans in found.items()}


def moves_between(
    before: Plan, after: Plan, *, weighing: Weighing, why: Mapping[str, Moved]
) -> tuple[TurnMove, ...]:
    """Turns to come that begin at another time, fall away or are new; least notice first.

    why: by note that could not stay, the rule in the way and what it says.
    """
    asked, now = weighing.asked, weighing.now
    old, new = turns_in(asked, before), turns_in(asked, after)
    found = []
    for note_id, kind in dict.fromkeys([*old, *new]):
        for pair in _pairs(old.get((note_id, kind), []), new.get((note_id, kind), [])):
            if _is_move(pair, now):
                found.append(_move(weighing, note_id, kind, pair=pair, why=why.get(note_id)))
    return tuple(sorted(found, key=lambda each: (each.notice_s, each.note_id, each.kind)))


def _pairs(was: list[Span], now: list[Span]) -> Iterator[Pair]:
    """What stays with itself, then the others in order."""
    places = paired([each.start for each in was], [each.start for each in now])
    for span, place in zip(was, places, strict=True):
        yield span, None if place is None else now[place]
    for place, span in enumerate(now):
        if place not in places:
            yield None, span


def _is_move(pair: Pair, now: datetime) -> bool:
    was, then = pair
    if was is not None and then is not None and was.start == then.start:
        return False
    return any(each is not None and each.start >= now for each in pair)


def _move(
    weighing: Weighing, note_id: str, kind: MovedKind, *, pair: Pair, why: Moved | None
) -> TurnMove:
    first = min(each.start for each in pair if each is not None)
    return TurnMove(
        grower_id=weighing.asked.note(note_id).grower_id,
        note_id=note_id,
        kind=kind,
        was=pair[0],
        now=pair[1],
        notice_s=Seconds(int(notice_h(weighing.now, first) * HOUR)),
        weight=weighing.move(note_id, pair),
        rule=why.rule if why else 0,
        reason=why.reason if why else (OTHERS if pair[0] else "It has a place now."),
        forced=why is not None,
    )
