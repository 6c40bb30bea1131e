"""Turns: when growers are expected, as promised by the posted plan."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Any

from api.records.plans import STANDS, KeptPlan, KeptTurn
from api.services.house import zone_of
from api.services.ports import Book
from api.services.roles import Act, Doing, whose
from scheduler.domain.clock import Week
from scheduler.domain.turn import Turn, TurnState
from scheduler.turns import called_off, moved, turns_of


def turns(book: Book, doing: Doing, *, week: Week | None = None) -> tuple[Turn, ...]:
    """Turns in order of time, those called off too; a grower's own only."""
    own = whose(doing, Act.READ_TURNS)
    equals: dict[str, Any] = {} if own is None else {"whose": own}
    found = book.turns.where(**equals | ({} if week is None else {"week": week}))
    return tuple(sorted((each.turn for each in found), key=lambda turn: (turn.start, turn.uid)))


def next_day(book: Book, doing: Doing) -> date | None:
    """The day of her next turn that stands, else of her last one; None where she has none."""
    own = [turn for turn in turns(book, doing) if turn.stands]
    coming = [turn for turn in own if turn.end >= doing.at]
    turn = coming[0] if coming else own[-1] if own else None
    return None if turn is None else turn.start.astimezone(zone_of(book)).date()


def brought_up_to(
    book: Book, doing: Doing, kept: KeptPlan, *, firm: Collection[str]
) -> tuple[Turn, ...]:
    """The week's turns as they will be once the plan is posted; nothing is kept yet.

    firm: ids of the notes that are promised. What is no longer asked is called off, never
    forgotten: calendars must hear of it.
    """
    week = kept.plan.week
    return moved(
        tuple(each.turn for each in book.turns.where(week=week)),
        turns_of(kept.asked, kept.plan, at=doing.at, firm=firm),
        at=doing.at,
        started={charge.note_id for run in kept.asked.happened.runs for charge in run.charges},
        let_go={each.id for each in book.notes.where(week=week, state="let go")},
    )


def keep_turns(book: Book, week: Week, after: Collection[Turn]) -> tuple[Turn, ...]:
    """Keep the week's turns so; those that changed."""
    before = {each.uid: each.turn for each in book.turns.where(week=week)}
    changed = tuple(turn for turn in after if before.get(turn.uid) != turn)
    for turn in changed:
        book.turns.replace(KeptTurn.of(week, turn))
    return changed


def end_turns(book: Book, doing: Doing, note_id: str, state: TurnState) -> None:
    """A note that ended needs its turns no longer."""
    for each in book.turns.where(note_id=note_id, state=STANDS):
        book.turns.replace(KeptTurn.of(each.week, called_off(each.turn, state, at=doing.at)))
