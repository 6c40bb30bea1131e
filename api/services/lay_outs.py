"""From the book to a lay-out and back: what is asked, and the plan that answers it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from api.records.notes import NoteState
from api.records.plans import STANDS, From
from api.services.asking import asked_of
from api.services.errors import NotNow
from api.services.notes import asking_notes, week_of
from api.services.plans import keep
from api.services.ports import Book
from api.services.promises import promised_in
from api.services.roles import Act, Doing, must
from api.services.so_far import so_far
from api.services.weeks import week_entry
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.ledger import in_turn, ledger


@dataclass(frozen=True, slots=True)
class ToLayOut:
    """One week as it is asked now, and what the plan will say it was laid out from."""

    asked: Asked
    origin: From


def to_lay_out(book: Book, doing: Doing, week: Week, *, moving: bool = False) -> ToLayOut:
    """Notes in order of turn, beside what is promised. moving: firm turns may be moved.

    NotNow for a week without notes, and for one that is over by the kitchen's clock.
    """
    must(doing, Act.LAY_OUT)
    return as_it_is_asked(book, doing, week, moving=moving)


def as_it_is_asked(book: Book, doing: Doing, week: Week, *, moving: bool) -> ToLayOut:
    """The same for services that have asked for a right of their own."""
    _not_over(book, doing, week)
    asked = asked_of(book, week, now=doing.at)
    if not asked.notes:
        raise NotNow(f"no note asks for a place in {week}")
    asked = in_turn(asked, ledger(asked.growers, so_far(book, week)))
    asked = replace(asked, promised=promised_in(book, asked, moving=moving))
    entry = week_entry(book, week)
    return ToLayOut(asked, From(entry.notes_version, entry.posted, doing.person.id))


def _not_over(book: Book, doing: Doing, week: Week) -> None:
    now = week_of(book, doing.at)
    if week < now:
        raise NotNow(
            f"{week} is over: nothing can start in it any more; it is {now} now. Carry over what"
            " still asks into a week to come, and lay that out"
        )


def keep_laid_out(book: Book, made_for: ToLayOut, plan: Plan, *, at: datetime) -> int:
    """Keep the plan, pencilled, and pencil the notes that have a place in it; its number."""
    number = keep(book.plans, made_for.asked, plan, laid_out_at=at, origin=made_for.origin)
    placed = {charge.note_id for _, charge in plan.charges()}
    for entry in asking_notes(book, plan.week):
        promised = bool(book.turns.where(note_id=entry.id, state=STANDS))
        state: NoteState = "pencilled" if entry.id in placed or promised else "noted"
        if entry.state in ("noted", "pencilled") and entry.state != state:
            book.notes.replace(replace(entry, state=state, version=entry.version + 1))
    return number
