"""People for tests of the book: one of each role, and what they are doing when."""

from __future__ import annotations

from datetime import datetime

from api.records.people import Person
from api.services.ports import Book
from api.services.roles import Doing
from api.services.tokens import Wanted, give
from tests.shelves import FRIDAY

MANAGER = Person("lotte", "Lotte Amberry", "manager", None, None, FRIDAY)
HAND = Person("sal", "Sal Orrin", "hand", None, None, FRIDAY)
GROWER = Person("odile", "Odile Farrant", "grower", "G01", None, FRIDAY)
BOARD = Person("bea", "Bea Corrow", "board", None, None, FRIDAY)
ON_CALL = Person("nell", "Nell Harrow", "on_call", None, None, FRIDAY)
PEOPLE = {each.role: each for each in (MANAGER, HAND, GROWER, BOARD, ON_CALL)}


def doing(person: Person, at: datetime = FRIDAY, acts: tuple[str, ...] = ()) -> Doing:
    return Doing(person, at, acts)


def add_people(book: Book) -> None:
    """One of each role, without passwords."""
    for each in PEOPLE.values():
        book.people.add(each)


def token_of(book: Book, person: Person, at: datetime = FRIDAY) -> str:
    return give(book, person, Wanted("api"), at).secret
