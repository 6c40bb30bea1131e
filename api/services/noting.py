"""A note taken in together with its instant answer, over HTTP and at the command line alike."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any, Protocol

from api.records.notes import NoteEntry
from api.services.answers import Question, answer_to, question
from api.services.notes import Said, as_note, keep_note
from api.services.once import Repeatable, Told, once, told_before
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.answer import Answer, NoRoom

Words = Callable[[Question, Answer | NoRoom | None], dict[str, Any]]
Tell = Callable[[Book, Doing, NoteEntry], Told]


class Doors(Protocol):
    """A desk: the book to look at, and the book to write in, with who is asking."""

    def reading(self) -> AbstractContextManager[tuple[Book, Doing]]: ...

    def writing(self) -> AbstractContextManager[tuple[Book, Doing]]: ...


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
