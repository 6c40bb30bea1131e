"""The weeks of the book: which version of their notes they are at, which plan is posted."""

from __future__ import annotations

from dataclasses import replace

from api.records.plans import WeekEntry
from api.services.ports import Book
from scheduler.domain.clock import Week


def week_entry(book: Book, week: Week) -> WeekEntry:
    """The week as the book has it; an untouched one where nothing was written yet."""
    return book.weeks.find(week) or WeekEntry(week)


def notes_changed(book: Book, week: Week) -> None:
    """Count one on, so that a plan laid out before can tell."""
    found = week_entry(book, week)
    book.weeks.replace(replace(found, notes_version=found.notes_version + 1))


def next_called(book: Book) -> int:
    """The next place in the order of call."""
    last = book.notes.last()
    return 1 if last is None else last.called + 1
