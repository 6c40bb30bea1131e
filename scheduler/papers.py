"""Rule 15: what keeps a note from being firm. Everybody who tells or decides it asks here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime

from scheduler.domain.asked import Asked
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.plan import Charge, Plan
from scheduler.domain.process_card import ProcessCard
from scheduler.wording import letter_short, paper_short


def papers_short(grower: Grower, card: ProcessCard, days: Iterable[date]) -> tuple[str, ...]:
    """What is missing or out of date on any of those days, in words: papers of the grower, of her
    helpers, and the letter for the card."""
    return tuple(dict.fromkeys(each for day in sorted(days) for each in _short(grower, card, day)))


def _short(grower: Grower, card: ProcessCard, day: date) -> Iterator[str]:
    yield from map(paper_short, grower.papers_short(day))
    if not card.letter_holds(day):
        yield letter_short(card)


def short_in(asked: Asked, plan: Plan, note: HarvestNote) -> tuple[str, ...]:
    """The same on the days on which the plan expects the note's grower; nothing without a place."""
    grower, card = asked.grower(note.grower_id), asked.card(note.card_id)
    return papers_short(grower, card, days_of(asked, plan, note))


def days_of(asked: Asked, plan: Plan, note: HarvestNote) -> frozenset[date]:
    """The days on which a turn of the note's grower begins or goes on with other work."""
    charges = [charge for _, charge in plan.charges() if charge.note_id == note.id]
    starts = [start for charge in charges for start in _starts(plan, note, charge)]
    return frozenset(start.astimezone(asked.kitchen.zone).date() for start in starts)


def _starts(plan: Plan, note: HarvestNote, charge: Charge) -> Iterator[datetime]:
    made, after = charge.preparation, charge.after
    if made is None:
        yield note.arrives
    else:
        yield from (made.wash.start, made.cut.start)
    attends = ("steam", charge.code, note.grower_id)
    for duty in plan.duties:
        if (duty.work, duty.subject, duty.who) == attends:
            yield duty.span.start
    if after is not None:
        yield after.packing.start
