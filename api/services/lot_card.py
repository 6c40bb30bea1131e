"""The lot card: all that the house knows of one lot, by its code or by its note before the door."""

from __future__ import annotations

from dataclasses import dataclass

from api.records.happened import Happening
from api.records.notes import Lot, NoteEntry
from api.services.errors import NoSuchThing
from api.services.fees import fees_of_note
from api.services.lots import Trail, lot_code, trail
from api.services.notes import note
from api.services.plans import standing
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.answer.bills import LotBill
from scheduler.domain.harvest import Grower
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Charge, Run
from scheduler.domain.process_card import ProcessCard
from scheduler.errors import BrokenPromise


@dataclass(frozen=True, slots=True)
class LotCard:
    """lot: None until it is weighed in. placed: where the plan that stands has it. decided: what a
    person decided there on racks that a stop left over the limit of their clock. names: of the
    people in what happened, by their log-in names. own: a grower reads it. bill: what its place
    costs in the plan that stands, or in the last that placed it where it is under way."""

    entry: NoteEntry
    lot: Lot | None
    grower: Grower
    card: ProcessCard
    placed: tuple[tuple[Run, Charge], ...]
    decided: tuple[PartLot, ...]
    happened: tuple[Happening, ...]
    names: dict[str, str]
    own: bool
    bill: LotBill | None


def lot_card(book: Book, doing: Doing, code: str) -> LotCard:
    """By the code of a lot, a rack or a bag, or by the note's id; NoSuchThing alike for what is not
    there and not hers."""
    own = must(doing, Act.READ_LOTS) == "own"
    named = book.lots.find(lot_code(book, code))
    found = named or book.lots.last(note_id=code)
    try:
        if found is None:
            return _before_the_door(book, note(book, doing, code), own=own)
        return _of(book, trail(book, doing, code if named else found.code), own=own)
    except NoSuchThing:
        raise NoSuchThing(f"there is no lot {code}") from None


def _of(book: Book, found: Trail, *, own: bool) -> LotCard:
    return LotCard(
        entry=found.note,
        lot=found.lot,
        grower=found.grower.grower,
        card=found.card.card,
        placed=found.placed,
        decided=_decided(book, found.note),
        happened=found.happened,
        names={each.id: each.name for each in book.people.where()},
        own=own,
        bill=_bill(book, found.note),
    )


def _before_the_door(book: Book, entry: NoteEntry, *, own: bool) -> LotCard:
    grower, card = book.growers.find(entry.grower_id), book.cards.find(entry.card_id)
    if grower is None or card is None:
        raise BrokenPromise(f"note {entry.id} refers to what is not in the book")
    kept = standing(book, entry.week)
    charges = () if kept is None else kept.plan.charges()
    return LotCard(
        entry=entry,
        lot=None,
        grower=grower.grower,
        card=card.card,
        placed=tuple(each for each in charges if each[1].note_id == entry.id),
        decided=_decided(book, entry),
        happened=(),
        names={},
        own=own,
        bill=_bill(book, entry),
    )


def _decided(book: Book, entry: NoteEntry) -> tuple[PartLot, ...]:
    kept = standing(book, entry.week)
    parts = kept.plan.part_lots if kept else ()
    return tuple(each for each in parts if each.note_id == entry.id and each.decided)


def _bill(book: Book, entry: NoteEntry) -> LotBill | None:
    """At the weight that the plan knows."""
    kept = standing(book, entry.week)
    return None if kept is None else fees_of_note(book, kept, entry.id)
