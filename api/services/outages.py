"""Outages: a station stops, a station returns."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from api.records.happened import OutageEntry
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.house import in_force
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.versions import same_version
from scheduler.errors import BadInput, InputFault


def outages(book: Book, doing: Doing, *, open_only: bool) -> tuple[OutageEntry, ...]:
    """In the order they were told."""
    must(doing, Act.READ_OUTAGES)
    return book.outages.where(**{"back": None} if open_only else {})


def outage(book: Book, doing: Doing, number: int, act: Act = Act.READ_OUTAGES) -> OutageEntry:
    """One of them; NoSuchThing where there is none."""
    must(doing, act)
    found = book.outages.find(number)
    if found is None:
        raise NoSuchThing(f"there is no outage {number}")
    return found


def down(
    book: Book, doing: Doing, station_id: str, *, stopped: datetime, cause: str = ""
) -> OutageEntry:
    """The station stopped; NotNow if it is down already."""
    must(doing, Act.DOWN_UP)
    if station_id not in in_force(book).kitchen.station_ids:
        message = f"there is no station {station_id}"
        raise BadInput((InputFault("outage", None, "station_id", message),))
    if book.outages.where(station_id=station_id, back=None):
        raise NotNow(f"{station_id} is down already")
    kept = book.outages.add(OutageEntry(station_id, stopped, None, cause, doing.person.id))
    keep_deed(book, doing, Act.DOWN_UP, station_id, stopped=kept.stopped, cause=cause)
    return kept


def up(book: Book, doing: Doing, number: int, *, version: int, back: datetime) -> OutageEntry:
    """The station is back, or will be."""
    found = outage(book, doing, number, Act.DOWN_UP)
    same_version(version, found.version, f"outage {number}")
    if back < found.stopped:
        raise BadInput((InputFault("outage", None, "back", "is before it stopped"),))
    mended = replace(found, back=back, version=found.version + 1)
    book.outages.replace(mended)
    keep_deed(book, doing, Act.DOWN_UP, found.station_id, back=back)
    return mended
