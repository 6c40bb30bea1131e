"""The corrective-action record of a dry check that failed: written on, and closed when it is
complete."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from api.records.happened import Happening
from api.records.notes import Lot
from api.services.deeds import keep_deed
from api.services.dry_checks import last_decisions
from api.services.errors import NoSuchThing, NotNow
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.errors import BadInput, InputFault

FIELDS = ("what_happened", "cause", "product", "done_by", "verified_by")


@dataclass(frozen=True, slots=True)
class Corrective:
    """number: of the dry check that failed, which opened it. said: by field, what stands in it by
    now. closed: when, None while it is open; entries: how often it was written on."""

    number: int
    lot: Lot
    opened: datetime
    opened_by: str
    decided_by: str
    said: Mapping[str, str]
    closed: datetime | None
    closed_by: str
    entries: int

    @property
    def missing(self) -> tuple[str, ...]:
        return tuple(name for name in FIELDS if not self.said[name].strip())


def correctives(
    book: Book, doing: Doing, *, open_only: bool = True, code: str | None = None
) -> tuple[Corrective, ...]:
    """In order of opening; of one lot, or of all."""
    must(doing, Act.PUT_RIGHT)
    of_lot: dict[str, Any] = {} if code is None else {"subject": code}
    held = book.happenings.where(kind="dry check", **of_lot)
    found = (_of(book, each) for each in held if each.told["decision"] == "hold")
    return tuple(each for each in found if not (open_only and each.closed))


def corrective(book: Book, doing: Doing, number: int) -> Corrective:
    """One of them; NoSuchThing where that dry check was no hold."""
    must(doing, Act.PUT_RIGHT)
    found = book.happenings.find(number)
    if found is None or found.kind != "dry check" or found.told["decision"] != "hold":
        raise NoSuchThing(f"there is no corrective-action record {number}")
    return _of(book, found)


def _of(book: Book, check: Happening) -> Corrective:
    """What was written last stands; all that was written stays in the record."""
    found = book.lots.find(check.subject)
    if found is None:
        raise LookupError(check.subject)
    entries = book.happenings.where(subject=check.subject, kind="corrective action")
    own = [each for each in entries if each.told["check"] == check.number]
    last = own[-1] if own else None
    closed = last is not None and last.told["closed"]
    return Corrective(
        number=check.number,
        lot=found,
        opened=check.at,
        opened_by=check.by,
        decided_by=check.told["decided_by"],
        said={name: last.told[name] if last else "" for name in FIELDS},
        closed=last.at if last and closed else None,
        closed_by=last.by if last and closed else "",
        entries=len(own),
    )


def write_corrective(
    book: Book, doing: Doing, number: int, said: Mapping[str, str], *, close: bool
) -> Corrective:
    """Write on it, and close it if that is said.

    BadInput, with every field that is missing, where it is not complete; NotNow where it is closed
    already, or nothing has been done with the product yet.
    """
    found = corrective(book, doing, number)
    if found.closed is not None:
        raise NotNow(f"corrective-action record {number} is closed; nothing is added to it")
    after = {name: said.get(name, found.said[name]).strip() for name in FIELDS}
    if close:
        _must_be_complete(book, found, after)
    told = {"check": number, "closed": close} | after
    by, week = doing.person.id, found.lot.week
    book.happenings.add(Happening("corrective action", doing.at, by, week, found.lot.code, told))
    keep_deed(book, doing, Act.PUT_RIGHT, found.lot.code, corrective=number, closed=close)
    return corrective(book, doing, number)


def _must_be_complete(book: Book, found: Corrective, after: Mapping[str, str]) -> None:
    missing = [name for name in FIELDS if not after[name]]
    if missing:
        told = "must be filled in before the record is closed"
        raise BadInput(tuple(InputFault("corrective action", None, each, told) for each in missing))
    if any(_still_holds(book, found)):
        raise NotNow(
            f"lot {found.lot.code} is held still; say first what is done with it:"
            " back to a dryer, another reading, or discarded"
        )


def _still_holds(book: Book, found: Corrective) -> Iterator[bool]:
    """Whether that very check is the last word on racks that wait."""
    if found.lot.state == "held":
        last = book.happenings.where(subject=found.lot.code, kind="dry check")
        of_run = {each.told["run"]: each.number for each in last}
        for run, decision in last_decisions(book, found.lot).items():
            yield decision == "hold" and of_run[run] == found.number
