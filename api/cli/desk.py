"""What every command of the book asks for: the book, and who is doing it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Annotated, TypeVar

import typer

from api.services.errors import NotKnown
from api.services.house import zone_of
from api.services.people import COMMAND_LINE
from api.services.ports import Book, Shelf
from api.services.roles import Doing
from api.settings import Settings
from api.store import DatabaseShelf, open_shelf
from scheduler.cli.plainly import EXIT_CODES, plainly, tell
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault
from scheduler.scenario import hours

Value = TypeVar("Value")
app = typer.Typer(epilog=EXIT_CODES)
By = Annotated[
    str | None,
    typer.Option(
        "--by",
        envvar="COMMONRACK_PERSON",
        help="Log-in name of who does it; the command line itself may do everything.",
        show_default=False,
    ),
]
WeekArgument = Annotated[str, typer.Argument(metavar="WEEK", help="An ISO week: 2026-W34.")]


def now() -> datetime:
    return datetime.now(UTC)


@contextmanager
def the_shelf() -> Iterator[DatabaseShelf]:
    """The book's shelf, whatever goes wrong there told plainly."""
    with plainly():
        settings = Settings.of(os.environ)
        with closing(open_shelf(settings.database_url, queue=settings.queue)) as shelf:
            yield shelf


@dataclass(frozen=True, slots=True)
class CommandDesk:
    """Where a command is heard: the same two doors as at a request's desk."""

    shelf: Shelf
    by: str | None

    @contextmanager
    def reading(self) -> Iterator[tuple[Book, Doing]]:
        with self.shelf.reading() as book:
            yield book, self._doing(book)

    @contextmanager
    def writing(self) -> Iterator[tuple[Book, Doing]]:
        with self.shelf.writing() as book:
            yield book, self._doing(book)

    @contextmanager
    def rehearsing(self) -> Iterator[tuple[Book, Doing]]:
        """The book to see what would come of it: nothing is kept."""
        with self.shelf.rehearsing() as book:
            yield book, self._doing(book)

    def _doing(self, book: Book) -> Doing:
        person = COMMAND_LINE if self.by is None else book.people.find(self.by)
        if person is None or person.left_at is not None:
            raise NotKnown(f"there is nobody called {self.by}; see commonrack people list")
        return Doing(person, now())


@contextmanager
def the_desk(by: str | None) -> Iterator[CommandDesk]:
    with the_shelf() as shelf:
        yield CommandDesk(shelf, by)


def print_listed(lines: Iterable[str], nothing: str) -> None:
    """Each on its line; where there are none, on standard error that it is so and what to do."""
    found = list(lines)
    for line in found:
        typer.echo(line)
    if not found:
        tell(nothing)


def week_named(text: str) -> Week:
    return _read(text, "WEEK", Week.parse, "no ISO week; write it like 2026-W34")


def day_named(text: str, field: str) -> date:
    return _read(text, field, hours.day, "no date; write it like 2026-08-18")


def moment_named(book: Book, text: str, field: str) -> datetime:
    """A time by the kitchen's clock, unless it carries an offset."""
    zone = zone_of(book)
    told = "no date and time; write it like 2026-08-18T08:00"
    return hours.instant(_read(text, field, hours.moment, told), zone)


def _read(text: str, field: str, how: Callable[[str], Value], told: str) -> Value:
    try:
        return how(text)
    except ValueError:
        raise BadInput((InputFault(field, None, None, f"{text!r} is {told}"),)) from None
