"""The instant answer to a note: where it would fit beside what is planned, without promising it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from api.records.plans import STANDS, KeptPlan
from api.services.asking import asked_of
from api.services.in_turn import InTurn
from api.services.notes import Said, as_note, week_of
from api.services.plans import standing
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.answer import Answer, NoRoom, answered
from scheduler.caps import TurnDay
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL
from scheduler.errors import StalePlan

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
    asked = asked_of(book, week, now=doing.at)
    against, known = _against(book, week), _turns(book, note, asked.kitchen.zone)
    if against is None:
        empty = Plan(week, FULL.name, runs=(), duties=())
        return Question(note, replace(asked, notes=()), empty, None, known)
    as_planned = replace(
        against.asked, happened=replace(against.asked.happened, outages=asked.happened.outages)
    )
    return Question(note, as_planned, against.plan, against, known)


def _against(book: Book, week: Week) -> KeptPlan | None:
    found = standing(book, week)
    return found if found is not None and found.plan.rules == FULL.name else None


def _turns(book: Book, note: HarvestNote, zone: ZoneInfo) -> frozenset[TurnDay]:
    """The days of the grower's turns, by the kitchen's clock (rule 16)."""
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
