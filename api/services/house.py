"""The kitchen as the book has it: settings in force, growers with papers, cards with approvals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

from api.records.house import Approval, KeptPaper, KitchenSettings
from api.services.errors import NoSuchThing, NotNow
from api.services.ports import Book
from scheduler.domain.harvest import Grower, Paper
from scheduler.domain.process_card import ProcessCard
from scheduler.wording import LETTER_PENDING, paper_short


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
    papers: dict[str, list[KeptPaper]] = {}
    for each in book.papers.where():
        papers.setdefault(each.grower_id, []).append(each)
    return tuple(
        replace(entry.grower, papers=tuple(map(as_paper, papers.get(entry.id, ()))))
        for entry in book.growers.where()
    )


def grower_of(book: Book, grower_id: str) -> Grower:
    """One member with her papers; NoSuchThing where there is none."""
    found = book.growers.find(grower_id)
    if found is None:
        raise NoSuchThing(f"there is no grower {grower_id}")
    papers = book.papers.where(grower_id=grower_id)
    return replace(found.grower, papers=tuple(map(as_paper, papers)))


def as_paper(kept: KeptPaper) -> Paper:
    """A helper's paper bears the helper's name."""
    kind = f"{kept.kind} of {kept.helper}" if kept.helper else kept.kind
    return Paper(kind, kept.until)


def cards(book: Book, on: date) -> tuple[ProcessCard, ...]:
    """All process cards; approved are those with a letter that holds on that day."""
    approved = _approved(book.approvals.where(), on)
    return tuple(replace(entry.card, approved=entry.id in approved) for entry in book.cards.where())


def _approved(approvals: Iterable[Approval], on: date) -> frozenset[str]:
    return frozenset(each.card_id for each in approvals if each.holds(on))


def card_on(book: Book, card_id: str, on: date) -> ProcessCard:
    """The card as it stands on that day; NoSuchThing where there is none."""
    found = book.cards.find(card_id)
    if found is None:
        raise NoSuchThing(f"there is no process card {card_id}")
    approvals = book.approvals.where(card_id=card_id)
    return replace(found.card, approved=any(each.holds(on) for each in approvals))


def papers_short(grower: Grower, card: ProcessCard, on: Iterable[date]) -> tuple[str, ...]:
    """What keeps a note from being firm on those days (rule 15), in words."""
    return tuple(dict.fromkeys(each for day in on for each in _short(grower, card, day)))


def _short(grower: Grower, card: ProcessCard, day: date) -> Iterator[str]:
    yield from map(paper_short, grower.papers_short(day))
    if not card.approved:
        yield LETTER_PENDING
