"""A scenario taken into the book: kitchen, cards, growers, notes and record."""

from __future__ import annotations

from dataclasses import replace

from api.records.happened import Happening, OutageEntry
from api.records.house import Approval, CardEntry, GrowerEntry, KeptPaper, KitchenSettings
from api.records.notes import NoteEntry, note_fields
from api.services.deeds import keep_deed
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.weeks import next_called, notes_changed
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import Grower
from scheduler.domain.process_card import ProcessCard
from scheduler.errors import BadInput, InputFault


def take_in(book: Book, doing: Doing, asked: Asked) -> None:
    """Take in all of it, or nothing: BadInput where a note of that name is in the book already.

    Settings, growers and cards of the same name are replaced, what else is there stays.
    """
    must(doing, Act.KEEP_HOUSE)
    _no_note_twice(book, asked)
    book.settings.add(KitchenSettings(asked.kitchen, doing.at, doing.person.id))
    for card in asked.cards:
        keep_card(book, doing, card)
    for grower in asked.growers:
        keep_grower(book, doing, grower)
    _take_in_notes(book, doing, asked)
    _take_in_record(book, doing, asked)
    keep_deed(book, doing, Act.KEEP_HOUSE, asked.kitchen.id, scenario=asked.name)


def _no_note_twice(book: Book, asked: Asked) -> None:
    known = book.notes.where(id=tuple(note.id for note in asked.notes))
    message = "a note of that name is in the book already"
    if known:
        raise BadInput(tuple(InputFault("notes", None, each.id, message) for each in known))


def keep_card(book: Book, doing: Doing, card: ProcessCard) -> None:
    """A card as handed in; an approved one with its approval, if none is kept yet."""
    found = book.cards.find(card.id)
    plain = replace(card, approved=False, approved_until=None)
    entry = CardEntry(card.id, plain, found.version + 1 if found else 1)
    if found is None:
        book.cards.add(entry)
    else:
        book.cards.replace(entry)
    if card.approved and not book.approvals.where(card_id=card.id):
        letter = "said to be at hand when the card was taken in"
        until = card.approved_until
        book.approvals.add(Approval(card.id, letter, until, doing.person.id, doing.at))


def keep_grower(book: Book, doing: Doing, grower: Grower) -> None:
    """A grower as handed in, and her papers."""
    found = book.growers.find(grower.id)
    version = found.version + 1 if found else 1
    telephone = found.telephone if found else ""
    entry = GrowerEntry(grower.id, replace(grower, papers=()), version, telephone)
    if found is None:
        book.growers.add(entry)
    else:
        book.growers.replace(entry)
    for paper in grower.papers:
        keep_paper(book, doing, KeptPaper(grower.id, "", paper.kind, paper.until, "", doing.at))


def keep_paper(book: Book, doing: Doing, paper: KeptPaper) -> KeptPaper:
    """The paper in the place of the one of the same kind, as seen by who is asking."""
    seen = replace(paper, seen_by=doing.person.id, seen_at=doing.at)
    found = book.papers.last(grower_id=paper.grower_id, helper=paper.helper, kind=paper.kind)
    if found is None:
        return book.papers.add(seen)
    book.papers.replace(replace(seen, number=found.number))
    return replace(seen, number=found.number)


def _take_in_notes(book: Book, doing: Doing, asked: Asked) -> None:
    called = next_called(book)
    for number, note in enumerate(asked.notes, called):
        entry = NoteEntry(
            **note_fields(note),
            called=number,
            week=asked.week,
            state="noted",
            noted_at=doing.at,
            noted_by=doing.person.id,
        )
        book.notes.add(entry)
    notes_changed(book, asked.week)


def _take_in_record(book: Book, doing: Doing, asked: Asked) -> None:
    by = doing.person.id
    for run in asked.happened.runs:
        told = {"dryer": run.dryer_id}
        book.happenings.add(
            Happening("run started", run.start, by, asked.week, run.dryer_id, told, run)
        )
    for stop in asked.happened.outages:
        book.outages.add(OutageEntry(stop.station_id, stop.stopped, stop.back, stop.cause, by))
