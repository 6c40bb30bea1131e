"""Lots: weighed in at the door, packed, and followed back and forward."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from api.records.happened import Happening, HappeningKind
from api.records.house import CardEntry, GrowerEntry
from api.records.notes import Lot, NoteEntry, note_fields
from api.records.told import Deed
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.house import in_force, zone_of
from api.services.notes import note
from api.services.ports import Book
from api.services.roles import Act, Doing, must, seen, whose
from api.services.versions import same_version
from api.services.weeks import notes_changed, week_entry
from scheduler.domain.clock import Week
from scheduler.domain.plan import Charge, Run
from scheduler.errors import BrokenPromise
from scheduler.season.codes import Code, read
from scheduler.units import Grams


@dataclass(frozen=True, slots=True)
class Trail:
    """All that is known of a lot: whose, from which note, in which runs, what happened to it."""

    lot: Lot
    note: NoteEntry
    grower: GrowerEntry
    card: CardEntry
    placed: tuple[tuple[Run, Charge], ...]
    happened: tuple[Happening, ...]
    deeds: tuple[Deed, ...]
    own: bool  # a grower reads it: where it lies among the racks tells of the others

    def told(self, step: Happening | Deed) -> dict[str, Any]:
        """What was told of a step; a grower hears neither the number of a run, which counts those
        of others, nor on which racks her readings were."""
        if not self.own:
            return step.told
        if "readings" not in step.told:
            hidden = ("run", "check", "done_by", "verified_by")
            return {name: value for name, value in step.told.items() if name not in hidden}
        named = ("water_activity", "moisture_percent")
        readings = [{name: each[name] for name in named} for each in step.told["readings"]]
        return {name: step.told[name] for name in ("decision", "decided_by")} | {
            "readings": readings
        }

    def steps(self) -> list[tuple[str, Happening | Deed]]:
        """What was done with the note and what happened to the lot, in order of time."""
        named: list[tuple[str, Happening | Deed]] = [
            (each.act, each) for each in self.deeds if each.subject == self.note.id
        ]
        named += [(each.kind, each) for each in self.happened]
        return sorted(named, key=lambda each: each[1].at)


def door(
    book: Book, doing: Doing, note_id: str, weighed_g: Grams, *, at: datetime | None = None
) -> Lot:
    """Weigh in: the note is at the door, with its true weight; NotNow if it was already.

    at: when it was, if not just now.
    """
    found = note(book, doing, note_id, Act.DOOR)
    if found.state not in ("noted", "pencilled", "firm"):
        raise NotNow(f"note {note_id} is {found.state}; it cannot be weighed in")
    arrived = replace(found.note, field_g=weighed_g)
    entry = replace(found, **note_fields(arrived), state="at the door", version=found.version + 1)
    book.notes.replace(entry)
    notes_changed(book, found.week)
    lot = Lot(
        code=_code(book, at or doing.at, found),
        note_id=note_id,
        grower_id=found.grower_id,
        week=found.week,
        weighed_g=weighed_g,
        at=at or doing.at,
        state="raw",
    )
    told = {"asked_g": found.field_g, "weighed_g": weighed_g}
    _happened(book, doing, lot, "at the door", told, at=at)
    keep_deed(
        book, doing, Act.DOOR, lot.code, note=note_id, asked_g=found.field_g, weighed_g=weighed_g
    )
    return book.lots.add(lot)


def _code(book: Book, at: datetime, found: NoteEntry) -> str:
    """Year, day of the year, grower, crop: 26-231-G11-TOM; a number behind it where taken."""
    day = at.astimezone(zone_of(book))
    code = f"{day:%y-%j}-{found.grower_id}-{found.card_id[:3].upper()}"
    number, wanted = 1, code
    while book.lots.find(wanted) is not None:
        number += 1
        wanted = f"{code}-{number}"
    return wanted


def _happened(
    book: Book,
    doing: Doing,
    lot: Lot,
    kind: HappeningKind,
    told: dict[str, Any],
    *,
    at: datetime | None,
) -> None:
    when = at or doing.at
    book.happenings.add(Happening(kind, when, doing.person.id, lot.week, lot.code, told))


def lots(book: Book, doing: Doing, *, week: Week | None) -> tuple[Lot, ...]:
    """Lots in order of code; a grower's own only."""
    own = whose(doing, Act.READ_LOTS)
    equals: dict[str, Any] = {} if own is None else {"grower_id": own}
    return book.lots.where(**equals | ({} if week is None else {"week": week}))


def lot(book: Book, doing: Doing, code: str, act: Act = Act.READ_LOTS) -> Lot:
    """One lot; NoSuchThing where there is none to be seen."""
    must(doing, act)
    return seen(doing, act, book.lots.find(code), f"lot {code}")


def pack(
    book: Book, doing: Doing, code: str, *, version: int, bags: int, at: datetime | None = None
) -> Lot:
    """So many bags came of it. Whether they may be sold, a person decides.

    at: when it was, if not just now.
    """
    found = lot(book, doing, code, Act.PACK)
    same_version(version, found.version, f"lot {code}")
    if found.state in ("held", "packed", "discarded"):
        raise NotNow(f"lot {code} is {found.state}")
    packed = replace(found, state="packed", bags=bags, version=found.version + 1)
    book.lots.replace(packed)
    _happened(book, doing, packed, "packed", {"bags": bags}, at=at)
    keep_deed(book, doing, Act.PACK, code, bags=bags)
    return packed


def lot_code(book: Book, code: str) -> str:
    """The code of the lot that a code names, which may be its own."""
    return code if book.lots.find(code) is not None else read(code).lot


def trail(book: Book, doing: Doing, code: str) -> Trail:
    """Back to the field and forward to the bags, by the code of a lot, a part, a rack or a bag.

    NoSuchThing also for a bag that was not packed and a rack that no dryer has; where racks lie may
    have been planned otherwise since.
    """
    found = lot(book, doing, lot_code(book, code))
    part = read(code) if found.code != code else Code(code)
    most = max(each.racks for each in in_force(book).kitchen.dryers)
    if part.bag > (found.bags or 0) or part.rack > most:
        raise NoSuchThing(f"lot {found.code} has no {code}")
    entry = book.notes.last(id=found.note_id)
    grower = book.growers.find(found.grower_id)
    card = book.cards.find(entry.card_id) if entry else None
    if entry is None or grower is None or card is None:
        raise BrokenPromise(f"lot {code} refers to what is not in the book")
    return Trail(
        lot=found,
        note=entry,
        grower=grower,
        card=card,
        placed=_placed(book, found),
        happened=book.happenings.where(subject=found.code),
        deeds=book.deeds.where(subject=(found.code, found.note_id)),
        own=whose(doing, Act.READ_LOTS) is not None,
    )


def _placed(book: Book, found: Lot) -> tuple[tuple[Run, Charge], ...]:
    posted = week_entry(book, found.week).posted
    kept = None if posted is None else book.plans.find(posted)
    if kept is None:
        return ()
    return tuple(each for each in kept.plan.charges() if each[1].note_id == found.note_id)
