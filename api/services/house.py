"""The kitchen as the book has it: settings in force, growers with papers, cards with approvals."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from api.records.house import Approval, GrowerEntry, Helper, KeptPaper, KitchenSettings
from api.services.errors import NoSuchThing, NotNow
from api.services.ports import Book
from scheduler.domain.harvest import Grower, Paper
from scheduler.domain.process_card import ProcessCard

ORIENTATION = "orientation"


def in_force(book: Book) -> KitchenSettings:
    """The newest settings; NotNow while the book has no kitchen."""
    found = book.settings.last()
    if found is None:
        raise NotNow("the book has no kitchen yet; take one in: commonrack take-in SCENARIO")
    return found


def zone_of(book: Book) -> ZoneInfo:
    """The kitchen's zone, by whose clock people are told."""
    return in_force(book).kitchen.zone


def growers(book: Book) -> tuple[Grower, ...]:
    """All members with their papers, and those of their helpers."""
    papers, helpers = book.papers.where(), book.helpers.where()
    return tuple(
        _with_papers(
            entry,
            [each for each in papers if each.grower_id == entry.id],
            [each for each in helpers if each.grower_id == entry.id],
        )
        for entry in book.growers.where()
    )


def grower_of(book: Book, grower_id: str) -> Grower:
    """One member with her papers; NoSuchThing where there is none."""
    found = book.growers.find(grower_id)
    if found is None:
        raise NoSuchThing(f"there is no grower {grower_id}")
    papers = book.papers.where(grower_id=grower_id)
    return _with_papers(found, papers, book.helpers.where(grower_id=grower_id))


def _with_papers(
    entry: GrowerEntry, papers: Iterable[KeptPaper], helpers: Iterable[Helper]
) -> Grower:
    """A helper of whom no orientation was seen has not done it (rule 12)."""
    kept = tuple(map(as_paper, papers))
    known = {each.kind for each in kept}
    asked = (as_paper(KeptPaper(entry.id, each.name, ORIENTATION, None, "", each.since))
             for each in helpers)  # fmt: skip
    missing = tuple(each for each in asked if each.kind not in known)
    return replace(entry.grower, papers=kept + missing)


def as_paper(kept: KeptPaper) -> Paper:
    """A helper's paper bears the helper's name."""
    kind = f"{kept.kind} of {kept.helper}" if kept.helper else kept.kind
    return Paper(kind, kept.until)


def cards(book: Book) -> tuple[ProcessCard, ...]:
    """All process cards, each with the letter that was seen last."""
    letters = {each.card_id: each for each in book.approvals.where()}
    return tuple(_with_letter(entry.card, letters.get(entry.id)) for entry in book.cards.where())


def card_of(book: Book, card_id: str) -> ProcessCard:
    """One card with its letter; NoSuchThing where there is none."""
    found = book.cards.find(card_id)
    if found is None:
        raise NoSuchThing(f"there is no process card {card_id}")
    return _with_letter(found.card, book.approvals.last(card_id=card_id))


def _with_letter(card: ProcessCard, letter: Approval | None) -> ProcessCard:
    until = None if letter is None else letter.until
    return replace(card, approved=letter is not None, approved_until=until)


def today_of(book: Book, at: datetime) -> date:
    """The day of an instant by the kitchen's clock."""
    return at.astimezone(zone_of(book)).date()
