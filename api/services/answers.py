"""The instant answer to a note: where it would fit beside what is planned, without promising it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

from api.records.plans import STANDS, KeptPlan
from api.services.asking import asked_of, outages_in, span_of, wishes_of
from api.services.house import card_of, grower_of, in_force, zone_of
from api.services.in_turn import InTurn
from api.services.notes import Said, as_note, week_of
from api.services.plans import standing
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.answer import Answer, NoRoom, answered
from scheduler.caps import TurnDay
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.plan import Plan
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.rules import FULL
from scheduler.errors import StalePlan

Named = TypeVar("Named", Grower, ProcessCard)
_ONE_BY_ONE = InTurn()


@dataclass(frozen=True, slots=True)
class Question:
    """A note and what it is asked against: the posted plan, else the newest, else an empty week.

    against is None where the week has no plan yet.
    """

    note: HarvestNote
    asked: Asked
    plan: Plan
    against: KeptPlan | None
    turns_known: frozenset[TurnDay]


def question(book: Book, doing: Doing, said: Said) -> Question:
    """All that an answer needs, so that it can be found without holding the book open."""
    note = as_note(book, doing, said)
    week = week_of(book, note.arrives)
    against, known = _against(book, week), _turns(book, note)
    if against is None:
        asked = replace(asked_of(book, week, now=doing.at), notes=())
        return Question(note, asked, Plan(week, FULL.name, runs=(), duties=()), None, known)
    return Question(note, _as_planned(book, against.asked, note), against.plan, against, known)


def _as_planned(book: Book, asked: Asked, note: HarvestNote) -> Asked:
    """The week as the plan answers it, but for what has changed since that the note meets: who
    brings it, how its crop is handled, the kitchen's settings, and what has stopped."""
    kitchen = in_force(book).kitchen
    return replace(
        asked,
        kitchen=kitchen,
        growers=_brought_up_to(asked.growers, grower_of(book, note.grower_id)),
        cards=_brought_up_to(asked.cards, card_of(book, note.card_id)),
        happened=replace(asked.happened, outages=outages_in(book, span_of(kitchen, asked.week))),
        wishes=wishes_of(book, asked.week, ("", note.id)),
    )


def _brought_up_to(those: tuple[Named, ...], now: Named) -> tuple[Named, ...]:
    """With that one as it is now, behind them if it is new."""
    return tuple(({each.id: each for each in those} | {now.id: now}).values())


def _against(book: Book, week: Week) -> KeptPlan | None:
    found = standing(book, week)
    return found if found is not None and found.plan.rules == FULL.name else None


def _turns(book: Book, note: HarvestNote) -> frozenset[TurnDay]:
    """The days of the grower's turns, by the kitchen's clock (rule 16)."""
    zone = zone_of(book)
    turns = book.turns.where(whose=note.grower_id, state=STANDS)
    return frozenset((turn.kind, turn.start.astimezone(zone).date()) for turn in turns)


def answer_to(asking: Question, *, now: datetime) -> Answer | NoRoom | None:
    """A place or the rule that leaves none; None while the plan it is asked against must first be
    laid out anew."""
    try:
        with _ONE_BY_ONE:
            return answered(
                asking.asked,
                asking.plan,
                asking.note,
                now=now,
                turns_known=asking.turns_known,
            )
    except StalePlan:
        return None
