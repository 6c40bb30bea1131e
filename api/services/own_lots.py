"""What is shown of a lot, to its grower or the kitchen: where it is, what is next, what it costs,
why not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from api.records.notes import Lot, NoteEntry
from api.records.plans import KeptPlan
from api.services.answers import Question
from api.services.errors import NoSuchThing
from api.services.notes import SeenNote, as_seen, note, notes
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.roles import Act, Doing, must, whose
from api.services.turns import turns
from api.services.weeks import week_entry
from scheduler.answer import Answer, answer_of
from scheduler.domain.plan import Waiting
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.turn import Turn


@dataclass(frozen=True, slots=True)
class OwnLot:
    """One note of hers and all that became of it.

    turns: those that stand. lot: as weighed in, None before. placed: the question and the answer
    that its place in the posted plan is; None where it has none there. waiting: as that plan has
    it, where it or a part of it waits.
    """

    seen: SeenNote
    card: ProcessCard
    turns: tuple[Turn, ...]
    lot: Lot | None
    placed: tuple[Question, Answer] | None
    waiting: Waiting | None

    @property
    def entry(self) -> NoteEntry:
        return self.seen.entry


def crops(book: Book, doing: Doing) -> tuple[tuple[str, str], ...]:
    """Id and name of every process card, for who tells what is coming; by name."""
    must(doing, Act.NOTE)
    found = ((each.id, each.card.name) for each in book.cards.where())
    return tuple(sorted(found, key=lambda each: each[1]))


def own_lots(book: Book, doing: Doing) -> tuple[OwnLot, ...]:
    """All of hers, those that arrive last first; nobody's for who is no grower."""
    _must_be_grower(doing)
    found = as_seen(book, doing, notes(book, doing, week=None, after=None, limit=None))
    order = sorted(found, key=lambda each: each.entry.arrives, reverse=True)
    return tuple(_own_lots(book, doing, order))


def own_lot(book: Book, doing: Doing, note_id: str) -> OwnLot:
    """One of them; NoSuchThing where there is none to be seen."""
    _must_be_grower(doing)
    found = as_seen(book, doing, (note(book, doing, note_id),))
    return next(_own_lots(book, doing, list(found)))


def anybodys_lot(book: Book, doing: Doing, note_id: str) -> OwnLot:
    """The same of any note, for the kitchen."""
    if whose(doing, Act.READ_NOTES) is not None:
        raise NoSuchThing("that page is for the kitchen")
    found = as_seen(book, doing, (note(book, doing, note_id),))
    return next(_own_lots(book, doing, list(found)))


def _must_be_grower(doing: Doing) -> None:
    if whose(doing, Act.READ_NOTES) is None:
        raise NoSuchThing("only growers have lots of their own")


def _own_lots(book: Book, doing: Doing, found: list[SeenNote]) -> Iterator[OwnLot]:
    cards = {each.id: each.card for each in book.cards.where()}
    coming = [turn for turn in turns(book, doing) if turn.stands]
    for seen in found:
        entry = seen.entry
        kept = _posted(book, entry)
        yield OwnLot(
            seen=seen,
            card=cards[entry.card_id],
            turns=tuple(turn for turn in coming if turn.note_id == entry.id),
            lot=book.lots.last(note_id=entry.id),
            placed=None if kept is None else _placed(kept, entry),
            waiting=None if kept is None else _waiting(kept, entry, doing),
        )


def _posted(book: Book, entry: NoteEntry) -> KeptPlan | None:
    """The posted plan of its week, while it still asks: what ended has no place any longer."""
    posted = week_entry(book, entry.week).posted
    return plan_numbered(book.plans, posted) if posted is not None and entry.asks else None


def _placed(kept: KeptPlan, entry: NoteEntry) -> tuple[Question, Answer] | None:
    """As the plan knows the note: at its place the bill and the bags are reckoned."""
    if all(charge.note_id != entry.id for _, charge in kept.plan.charges()):
        return None
    known = kept.asked.note(entry.id)
    answer = answer_of(kept.asked, kept.plan, known)
    return Question(known, kept.asked, kept.plan, None, frozenset()), answer


def _waiting(kept: KeptPlan, entry: NoteEntry, doing: Doing) -> Waiting | None:
    """With its reason and remedy, which name no kitchen hand to a grower."""
    found = next((each for each in kept.plan.waiting if each.note_id == entry.id), None)
    if found is None or doing.person.grower_id is None:
        return found
    remedy = found.remedy
    for hand in kept.asked.kitchen.hands:
        remedy = remedy.replace(hand.name, "a kitchen hand")
    return replace(found, remedy=remedy)
