"""Secrets given out: shown once, kept as hashes, narrowed to acts, ended when told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from hashlib import sha256
from hmac import compare_digest
from secrets import token_hex, token_urlsafe

from api.records.people import Person, Token, TokenKind
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotKnown
from api.services.ports import Book
from api.services.roles import NEVER_ALONE, Act, Doing, must, reach
from scheduler.errors import BadInput, InputFault

SESSION = timedelta(hours=12)  # a kitchen's day (common practice)
INVITATION = timedelta(days=200)  # a season (common practice)


@dataclass(frozen=True, slots=True)
class Given:
    """A token just given, with the only sight of its secret."""

    token: Token
    secret: str


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a token shall be good for. subject: what a feed shows."""

    kind: TokenKind
    acts: tuple[str, ...] = ()
    label: str = ""
    lasts: timedelta | None = None
    subject: str = ""


def give(book: Book, person: Person, wanted: Wanted, at: datetime) -> Given:
    """A new token of that person; BadInput for an act that her role may not."""
    _only_her_acts(person, wanted.acts)
    secret = token_urlsafe(32)
    token = Token(
        id=token_hex(6),
        kind=wanted.kind,
        person_id=person.id,
        secret_hash=_hash(secret),
        acts=wanted.acts,
        subject=wanted.subject,
        label=wanted.label,
        given_at=at,
        ends_at=at + wanted.lasts if wanted.lasts else None,
    )
    return Given(book.tokens.add(token), f"{token.id}.{secret}")


def _only_her_acts(person: Person, acts: Iterable[str]) -> None:
    known = {str(act) for act in Act if act != NEVER_ALONE and reach(person.role, act) != "no"}
    message = f"is no act of a {person.role} that a token may be narrowed to"
    faults = tuple(InputFault("acts", None, act, message) for act in acts if act not in known)
    if faults:
        raise BadInput(faults)


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()  # 256 random bits need no slow hash


def opened(book: Book, shown: str, kinds: tuple[TokenKind, ...], at: datetime) -> Token:
    """The token that was shown, of one of those kinds; NotKnown where it is none that holds."""
    token_id, _, secret = shown.partition(".")
    token = book.tokens.find(token_id)
    known = token is not None and compare_digest(token.secret_hash, _hash(secret))
    if token is None or not known or token.kind not in kinds or not token.holds(at):
        raise NotKnown("that log-in, token or link does not hold, or no longer")
    return token


def known(book: Book, shown: str, kinds: tuple[TokenKind, ...], at: datetime) -> Doing:
    """Who shows that token, and for which acts; NotKnown as in opened, or if she has left."""
    token = opened(book, shown, kinds, at)
    person = book.people.find(token.person_id)
    if person is None or person.left_at is not None:
        raise NotKnown("that log-in, token or link does not hold, or no longer")
    return Doing(person, at, token.acts)


def own_tokens(book: Book, doing: Doing) -> tuple[Token, ...]:
    """All that were given to who is asking and still hold."""
    must(doing, Act.OWN_TOKENS)
    return tuple(
        each for each in book.tokens.where(person_id=doing.person.id) if each.holds(doing.at)
    )


def revoke(book: Book, doing: Doing, token_id: str) -> None:
    """End an own token, or anybody's by who keeps people; NoSuchThing where there is none."""
    must(doing, Act.OWN_TOKENS)
    token = book.tokens.find(token_id)
    others = doing.reach(Act.KEEP_PEOPLE) == "all"
    if token is None or not (others or token.person_id == doing.person.id):
        raise NoSuchThing(f"there is no token {token_id}")
    book.tokens.replace(replace(token, revoked_at=token.revoked_at or doing.at))
    keep_deed(book, doing, Act.OWN_TOKENS, token_id, revoked=token.kind)


def end_all(book: Book, person_id: str, at: datetime, *, kind: TokenKind | None = None) -> None:
    """End every token of that person, or all of one kind."""
    for token in book.tokens.where(person_id=person_id):
        if token.holds(at) and kind in (None, token.kind):
            book.tokens.replace(replace(token, revoked_at=at))
