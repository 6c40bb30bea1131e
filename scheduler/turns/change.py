"""What becomes of the turns that people know when a new plan is posted."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime

from scheduler.domain.turn import Turn, TurnState


def moved(
    before: Collection[Turn],
    after: Collection[Turn],
    *,
    at: datetime,
    started: Collection[str] = (),
    let_go: Collection[str] = (),
) -> tuple[Turn, ...]:
    """The turns that people know, brought up to the new plan; in order of start.

    A turn that is in both keeps its uid; if anything else differs its sequence is raised by one and
    it is changed at that instant. A turn that is no longer in the plan is called off (by the grower
    for the notes in let_go, else by the kitchen), unless it has begun, or is the packing turn of a
    charge at work in a run that has started (started: ids of notes in such runs; a plan says
    nothing more of them). Who was called off and still is stays as before.
    """
    known = {turn.uid: turn for turn in before}
    new = {turn.uid: turn for turn in after}
    at_work = {
        turn.subject
        for turn in before
        if turn.kind == "bringing" and turn.note_id in started and _begun(turn, at)
    }
    turns = [_brought_up(known.get(turn.uid), turn, at) for turn in new.values()]
    for turn in known.values():
        if turn.uid not in new:
            packs = turn.kind == "packing" and turn.subject in at_work
            turns.append(turn if packs or _begun(turn, at) else _gone(turn, at, let_go))
    return tuple(sorted(turns, key=lambda each: (each.start, each.uid)))


def called_off(turn: Turn, state: TurnState, *, at: datetime) -> Turn:
    """The turn let go or stood down at that instant; as it is where it was called off before."""
    if not turn.stands:
        return turn
    return replace(turn, state=state, sequence=turn.sequence + 1, changed_at=at)


def _begun(turn: Turn, at: datetime) -> bool:
    return turn.stands and turn.start < at


def _brought_up(known: Turn | None, turn: Turn, at: datetime) -> Turn:
    if known is None:
        return replace(turn, changed_at=at)
    same = replace(turn, sequence=known.sequence, changed_at=known.changed_at)
    if same == known:
        return known
    return replace(turn, sequence=known.sequence + 1, changed_at=at)


def _gone(turn: Turn, at: datetime, let_go: Collection[str]) -> Turn:
    return called_off(turn, "let go" if turn.note_id in let_go else "stood down", at=at)
