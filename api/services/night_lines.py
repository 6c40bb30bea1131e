"""Lines written into the night log of a stop: what was seen or done, and what a person decided."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from api.records.happened import Happening, OutageEntry
from api.services.deeds import keep_deed
from api.services.errors import NotNow
from api.services.night_log import LETTERS, NightLog, PartClock, Seen, night_log
from api.services.notes import week_of
from api.services.outages import outage
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput, InputFault


@dataclass(frozen=True, slots=True)
class Wrote:
    """What is written down: of which part ("": none, or all), what was seen or done, when if not
    just now."""

    part: str
    seen: Seen
    text: str = ""
    celsius: float | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Decided:
    """What a named person has decided, in words. discards: the racks come to nothing; goes_on: they
    go on from where they were put, and mends plan so."""

    decision: str
    decided_by: str
    discards: bool = False
    goes_on: bool = False


def write_night_log(book: Book, doing: Doing, number: int, wrote: Wrote) -> NightLog:
    """One more line; nothing is ever taken out. BadInput for a part that was not inside, or a time
    that has not come or lies before the stop."""
    must(doing, Act.NIGHT_LOG)
    stop, at = outage(book, doing, number, Act.NIGHT_LOG), wrote.at or doing.at
    _must_be_inside(night_log(book, doing, number), wrote.part, wrote.seen)
    if at > doing.at:
        raise _bad("at", "has not come yet")
    if at < stop.stopped:
        raise _bad("at", "is before it stopped")
    _keep(book, doing, stop, wrote, at=at)
    return night_log(book, doing, number)


def decide(book: Book, doing: Doing, number: int, *, part: str, decided: Decided) -> NightLog:
    """What the person named has decided on racks over the limit; the tool decides nothing.

    NotNow where their clock is not over it, or it was decided.
    """
    must(doing, Act.NIGHT_LOG)
    stop = outage(book, doing, number, Act.NIGHT_LOG)
    found = next(
        (each for each in night_log(book, doing, number).clocks if each.part == part), None
    )
    if found is None:
        raise _bad("part", f"{part} was not inside")
    if not found.asks:
        raise NotNow(f"nothing is asked about {part}")
    for name, text in (("decision", decided.decision), ("decided_by", decided.decided_by)):
        if not text.strip():
            raise _bad(name, "must be filled in")
    if decided.discards and decided.goes_on:
        raise _bad("goes_on", "cannot be: they are discarded")
    wrote = Wrote(part, "noted", decided.decision.strip())
    _keep(book, doing, stop, wrote, at=doing.at, decided=decided)
    return night_log(book, doing, number)


def parts_inside(clocks: Iterable[PartClock]) -> tuple[str, ...]:
    """What a line may be of: part-lots as they are, the halves that somebody may make of a whole
    charge, and the whole of two halves."""
    known = tuple(clocks)
    names = [each.part for each in known]
    whole = [each.code for each in known if each.part == each.code and not each.is_part_lot]
    names += [f"{code} {letter}" for code in whole for letter in LETTERS]
    return tuple(dict.fromkeys((*names, *(each.code for each in known))))


def _must_be_inside(found: NightLog, part: str, seen: Seen) -> None:
    codes = parts_inside(found.clocks)
    if part and part not in codes:
        raise _bad("part", f"{part} was not inside")
    if not part and seen != "noted":
        raise _bad("part", "must be chosen")


def _keep(
    book: Book,
    doing: Doing,
    stop: OutageEntry,
    wrote: Wrote,
    *,
    at: datetime,
    decided: Decided | None = None,
) -> None:
    told = {
        "outage": stop.number,
        "part": wrote.part,
        "seen": "decided" if decided else wrote.seen,
        "text": wrote.text,
        "celsius": wrote.celsius,
        "decided_by": decided.decided_by.strip() if decided else "",
        "discards": bool(decided and decided.discards),
        "goes_on": bool(decided and decided.goes_on),
    }
    week, by = week_of(book, at), doing.person.id
    book.happenings.add(Happening("night log", at, by, week, stop.station_id, told))
    keep_deed(book, doing, Act.NIGHT_LOG, stop.station_id, **told)


def _bad(field: str, message: str) -> BadInput:
    return BadInput((InputFault("night log", None, field, message),))
