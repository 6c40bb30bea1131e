"""Calendar feeds: secret addresses given out, and the turns that each of them shows."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from api.records.people import Token
from api.records.plans import WeekEntry
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotAllowed
from api.services.house import growers, in_force
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.tokens import Given, Wanted, give, known, opened
from scheduler.domain.harvest import Grower
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.turn import ON_CALL, Turn
from scheduler.turns import nights_of, work_of

Kind = Literal["grower", "station", "on call"]
LOOKS_BACK = timedelta(days=60)
MEMBERS, STATIONS = "grower", "station"


@dataclass(frozen=True, slots=True)
class Feed:
    """What an address shows: turns of one grower, of one station, or the nights on call."""

    kind: Kind
    whose: str
    kitchen: Kitchen
    turns: tuple[Turn, ...]
    grower: Grower | None = None


def give_feed(book: Book, doing: Doing, kind: Kind, whose: str = "") -> Given:
    """A secret address; whose: the grower's or station's id. Revoked like any token.

    A grower has her own only, who is on call the nights only.
    """
    reach = must(doing, Act.OWN_FEEDS)
    if reach == "tonight" and kind != ON_CALL:
        raise NotAllowed(f"{doing.person.role} may have the feed of nights on call only")
    own = reach != "own" or (kind == MEMBERS and whose == doing.person.grower_id)
    if not own or not _is_there(book, kind, whose):
        raise NoSuchThing(f"there is no feed of {kind} {whose}".rstrip())
    keep_deed(book, doing, Act.OWN_FEEDS, f"{kind} {whose}".rstrip())
    wanted = Wanted("feed", label="calendar", subject=f"{kind}:{whose}")
    return give(book, doing.person, wanted, doing.at)


def own_feeds(book: Book, doing: Doing) -> tuple[Token, ...]:
    """The addresses that were given to who is asking and still hold."""
    must(doing, Act.OWN_FEEDS)
    found = book.tokens.where(person_id=doing.person.id)
    return tuple(each for each in found if each.kind == "feed" and each.holds(doing.at))


def revoke_feed(book: Book, doing: Doing, token_id: str) -> None:
    """End an own address; NoSuchThing where there is none."""
    found = next((each for each in own_feeds(book, doing) if each.id == token_id), None)
    if found is None:
        raise NoSuchThing(f"there is no address {token_id}")
    book.tokens.replace(replace(found, revoked_at=doing.at))
    keep_deed(book, doing, Act.OWN_FEEDS, token_id, revoked="feed")


def _is_there(book: Book, kind: Kind, whose: str) -> bool:
    if kind == MEMBERS:
        return book.growers.find(whose) is not None
    if kind == STATIONS:
        return whose in in_force(book).kitchen.station_ids
    return whose == ""


def feed_at(book: Book, secret: str, at: datetime) -> Feed:
    """What that address shows; NotKnown where it is none that holds."""
    known(book, secret, ("feed",), at)
    kind, _, whose = opened(book, secret, ("feed",), at).subject.partition(":")
    kitchen = in_force(book).kitchen
    if kind == MEMBERS:
        found = (each.turn for each in book.turns.where(whose=whose))
        turns = tuple(turn for turn in found if turn.end > at - LOOKS_BACK)
        grower = next(each for each in growers(book) if each.id == whose)
        return Feed("grower", whose, kitchen, turns, grower)
    posted = [each for each in book.weeks.where() if each.posted is not None]
    recent = [each for each in posted if _is_recent(each, at)]
    shown = tuple(turn for entry in recent for turn in _of_week(book, entry, kind))
    return Feed("station" if kind == STATIONS else "on call", whose, kitchen, shown)


def _is_recent(entry: WeekEntry, at: datetime) -> bool:
    return entry.week.monday > (at - LOOKS_BACK).date()


def _of_week(book: Book, entry: WeekEntry, kind: str) -> tuple[Turn, ...]:
    kept = plan_numbered(book.plans, entry.posted or 0)
    promised = book.notes.where(week=entry.week, state=("firm", "at the door"))
    make = work_of if kind == STATIONS else nights_of
    return make(
        kept.asked,
        kept.plan,
        at=kept.laid_out_at,
        firm={each.id for each in promised},
        sequence=kept.number,
    )
