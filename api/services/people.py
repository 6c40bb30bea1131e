"""People of the book: added, logged in, invited, gone."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from api.records.people import Person, Role
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotKnown, NotNow
from api.services.passwords import fits, hashed
from api.services.ports import Book
from api.services.roles import READING_HER_OWN, Act, Doing, must
from api.services.tokens import INVITATION, SESSION, Given, Wanted, end_all, give
from scheduler.errors import BadInput, InputFault

COMMAND_LINE = Person(  # who has the database in hand needs no log-in
    "command line", "the command line", "manager", None, None, datetime.min.replace(tzinfo=UTC)
)
_NOT_TOGETHER = "that name and password do not go together"
_ANOTHER = "the old password is another one"
_LOGIN = re.compile(r"[a-z0-9][a-z0-9._-]{1,39}")


@dataclass(frozen=True, slots=True)
class NewPerson:
    """Without a password she can only follow an invitation.

    It is hashed before the book is opened: that is slow on purpose, and there is one writer.
    """

    login: str
    name: str
    role: Role
    grower_id: str | None = None
    password_hash: str | None = None


def add_person(book: Book, doing: Doing, new: NewPerson) -> Person:
    """A person with her role; BadInput with every fault."""
    must(doing, Act.KEEP_PEOPLE)
    faults = tuple(
        InputFault("people", None, field, message) for field, message in _faults(book, new)
    )
    if faults:
        raise BadInput(faults)
    person = Person(new.login, new.name, new.role, new.grower_id, new.password_hash, doing.at)
    keep_deed(book, doing, Act.KEEP_PEOPLE, person.id, role=person.role)
    return book.people.add(person)


def _faults(book: Book, new: NewPerson) -> list[tuple[str, str]]:
    faults = []
    if not _LOGIN.fullmatch(new.login):
        faults.append(("login", "must be 2 to 40 small letters, digits, dots, dashes"))
    elif book.people.find(new.login):
        faults.append(("login", "is taken"))
    if (new.role == "grower") != (new.grower_id is not None):
        faults.append(("grower_id", "is for growers, and only for them"))
    elif new.grower_id is not None and book.growers.find(new.grower_id) is None:
        faults.append(("grower_id", f"there is no grower {new.grower_id}"))
    return faults


def people(book: Book, doing: Doing) -> tuple[Person, ...]:
    """Everybody who has not left."""
    must(doing, Act.KEEP_PEOPLE)
    return book.people.where(left_at=None)


def person(book: Book, doing: Doing, login: str) -> Person:
    """One of them; NoSuchThing where there is none."""
    must(doing, Act.KEEP_PEOPLE)
    found = book.people.find(login)
    if found is None or found.left_at is not None:
        raise NoSuchThing(f"there is nobody called {login}")
    return found


def leave(book: Book, doing: Doing, login: str) -> None:
    """She is gone: nothing she was given holds any longer."""
    found = person(book, doing, login)
    if found.id == doing.person.id:
        raise NotNow("nobody can take herself out of the book")
    book.people.replace(replace(found, left_at=doing.at, password_hash=None))
    end_all(book, found.id, doing.at)
    keep_deed(book, doing, Act.KEEP_PEOPLE, login, left=True)


def anybody(book: Book) -> bool:
    """Whether anybody was ever given a log-in; until then the book has nothing personal to keep
    from whoever sits at its machine."""
    return bool(book.people.where(limit=1))


def named(book: Book, login: str) -> Person | None:
    """Who would log in, for proved; None where nobody is called so."""
    return book.people.find(login)


def name_of(book: Book, login: str) -> str:
    """By which name she is known; the log-in where nobody is called so any more."""
    found = book.people.find(login)
    return found.name if found else login


def proved(found: Person | None, password: str) -> Person:
    """Who knows the password; NotKnown, in the same words, for everybody else.

    Slow on purpose, so asked while the book is closed.
    """
    if not fits(password, found.password_hash if found else None) or found is None:
        raise NotKnown(_NOT_TOGETHER)
    return found


def log_in(book: Book, found: Person, at: datetime) -> Given:
    """A session for who was proved; NotKnown if she or her password changed meanwhile."""
    if book.people.find(found.id) != found:
        raise NotKnown(_NOT_TOGETHER)
    return give(book, found, Wanted("session", lasts=SESSION), at)


def new_hash(doing: Doing, old: str, new: str) -> str:
    """Of a new password, for who knows her old one; NotKnown.

    Slow on purpose, so asked while the book is closed.
    """
    must(doing, Act.OWN_TOKENS)
    if not fits(old, doing.person.password_hash):
        raise NotKnown(_ANOTHER)
    return hashed(new)


def set_password(book: Book, doing: Doing, *, was: str | None, password_hash: str) -> None:
    """A new password of one's own in the place of the one that was; every session ends.

    NotKnown if it changed meanwhile.
    """
    must(doing, Act.OWN_TOKENS)
    if doing.person.password_hash != was:
        raise NotKnown(_ANOTHER)
    book.people.replace(replace(doing.person, password_hash=password_hash))
    end_all(book, doing.person.id, doing.at, kind="session")
    keep_deed(book, doing, Act.OWN_TOKENS, doing.person.id, password="changed")


def invite(book: Book, doing: Doing, login: str) -> Given:
    """A link with which a grower reads her own without a password; older ones end."""
    found = person(book, doing, login)
    if found.role != "grower":
        raise NotNow("only growers are invited; everybody else logs in")
    end_all(book, found.id, doing.at, kind="invitation")
    keep_deed(book, doing, Act.KEEP_PEOPLE, login, invited=True)
    acts = tuple(str(act) for act in READING_HER_OWN)
    return give(book, found, Wanted("invitation", acts, "link", INVITATION), doing.at)
