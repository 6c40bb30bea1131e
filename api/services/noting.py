"""A note taken in together with its instant answer, over HTTP and at the command line alike."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import fields
from typing import Any, Protocol

from api.records.notes import NoteEntry
from api.services.answers import Question, answer_to, question
from api.services.notes import Said, as_note, change, keep_note, note
from api.services.once import Repeatable, Told, once, told_before
from api.services.ports import Book
from api.services.roles import Act, Doing
from scheduler.answer import Answer, NoRoom

Words = Callable[[Question, Answer | NoRoom | None], dict[str, Any]]
Tell = Callable[[Book, Doing, NoteEntry], Told]


class Doors(Protocol):
    """A desk: the book to look at, and the book to write in, with who is asking."""

    def reading(self) -> AbstractContextManager[tuple[Book, Doing]]: ...

    def writing(self) -> AbstractContextManager[tuple[Book, Doing]]: ...


def look(desk: Doors, said: Said, *, words: Words) -> dict[str, Any]:
    """The answer that a note would have, in those words; nothing is kept."""
    with desk.reading() as (book, doing):
        asking = question(book, doing, said)
    return words(asking, answer_to(asking, now=doing.at))


def change_with_answer(
    desk: Doors, note_id: str, to: dict[str, Any], *, version: int, words: Words
) -> Callable[[Book, Doing], NoteEntry]:
    """What changes the note, with the answer that it has as changed; to be called in the book
    opened for writing. One that has a place in a plan is answered by the next lay-out."""
    with desk.reading() as (book, doing):
        found = note(book, doing, note_id, Act.CHANGE_NOTE)
        asking = None
        if found.state == "noted":
            asking = question(book, doing, _said(found, to))
    answered = None if asking is None else words(asking, answer_to(asking, now=doing.at))

    def do(book: Book, doing: Doing) -> NoteEntry:
        anew = to if found.state == "firm" else to | {"answer": answered}
        return change(book, doing, note_id, version=version, to=anew)

    return do


def _said(found: NoteEntry, to: dict[str, Any]) -> Said:
    """As it would be told anew; it keeps as long as before where only its arrival is another."""
    said = {each.name: to.get(each.name, getattr(found, each.name)) for each in fields(Said)}
    if "latest_start" not in to:
        said["latest_start"] = said["arrives"] + (found.latest_start - found.arrives)
    return Said(**said)


def note_with_answer(
    desk: Doors, said: Said, request: Repeatable, *, words: Words, tell: Tell
) -> Told:
    """The note, kept with its answer in those words, and told so; a repeat is told the same again.

    The answer is found while the book is closed: others may write meanwhile.
    """
    with desk.reading() as (book, doing):
        before = told_before(book, doing, request)
        if before is not None:
            return before
        asking = question(book, doing, said)
    answered = words(asking, answer_to(asking, now=doing.at))

    with desk.writing() as (book, doing):

        def keep() -> Told:
            entry = keep_note(book, doing, as_note(book, doing, said), answer=answered)
            return tell(book, doing, entry)

        return once(book, doing, request, keep)
