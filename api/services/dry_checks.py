"""The dry check of a lot: readings kept, counted by the tool, decided by the person named."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any

from api.records.happened import Happening
from api.records.notes import Lot, LotState, NoteEntry
from api.services.at_the_door import charges_of, posted_plan
from api.services.deeds import keep_deed
from api.services.errors import NotNow
from api.services.house import card_of
from api.services.lots import lot
from api.services.notes import note
from api.services.ports import Book
from api.services.roles import Act, Doing
from api.services.runs import KeptRun, runs_of
from api.services.to_check import racks_in
from api.services.versions import same_version
from scheduler.day_sheet.sampling import sample_count
from scheduler.errors import BadInput, InputFault
from scheduler.process.dry_check import Counted, Decision, Reading, counted


@dataclass(frozen=True, slots=True)
class Check:
    """What was read on racks of one run (the lot's last that is unloaded, if none is named), what
    was decided on it, by whom, and when, if not just now."""

    readings: tuple[Reading, ...]
    decision: Decision
    decided_by: str
    run: int | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Checked:
    """The lot as it is afterwards, and what its readings came to."""

    lot: Lot
    run: int
    check: Check
    counted: Counted


def dry_check(book: Book, doing: Doing, code: str, *, version: int, check: Check) -> Checked:
    """Keep the readings and the decision. A person may hold what the readings would let pass, never
    the other way round: NotNow. Nor before the run is unloaded."""
    found = lot(book, doing, code, Act.DRY_CHECK)
    same_version(version, found.version, f"lot {code}")
    if found.state in ("packed", "discarded"):
        raise NotNow(f"lot {code} is {found.state}")
    entry = note(book, doing, found.note_id, Act.DRY_CHECK)
    run = _unloaded(book, found, check.run)
    _must_be_its_racks(book, found, run, check.readings)
    come_to = _counted(book, entry, run, check.readings)
    if check.decision == "pass" and come_to.decision == "hold":
        raise NotNow(f"lot {code} is to be held: {'; '.join(come_to.reasons)}")
    checked = replace(found, state=_state(book, found, run, check), version=found.version + 1)
    book.lots.replace(checked)
    told = _told(run, check, come_to)
    at, by = check.at or doing.at, doing.person.id
    book.happenings.add(Happening("dry check", at, by, found.week, code, told))
    keep_deed(book, doing, Act.DRY_CHECK, code, run=run.number, decision=check.decision)
    return Checked(checked, run.number, check, come_to)


def count(
    book: Book, doing: Doing, code: str, *, readings: tuple[Reading, ...], run: int | None = None
) -> Counted:
    """What readings would come to; nothing is kept."""
    found = lot(book, doing, code, Act.DRY_CHECK)
    entry = note(book, doing, found.note_id, Act.DRY_CHECK)
    unloaded = _unloaded(book, found, run)
    _must_be_its_racks(book, found, unloaded, readings)
    return _counted(book, entry, unloaded, readings)


def _unloaded(book: Book, found: Lot, number: int | None) -> KeptRun:
    runs = runs_of(book, found)
    if number is not None:
        runs = [each for each in runs if each.number == number]
    unloaded = [each for each in runs if each.unloaded is not None]
    if not unloaded:
        which = "no run" if number is None else f"no run {number}"
        raise NotNow(f"{which} with lot {found.code} is on record as unloaded")
    return unloaded[-1]


def _must_be_its_racks(book: Book, found: Lot, run: KeptRun, readings: tuple[Reading, ...]) -> None:
    among = racks_in(book, found, run)
    for each in readings:
        if each.rack not in among:
            raise _bad(f"rack {each.rack} is none of its racks, {among[0]} to {among[-1]}")


def _counted(book: Book, entry: NoteEntry, run: KeptRun, readings: tuple[Reading, ...]) -> Counted:
    if not readings:
        raise _bad("is empty; at least one rack must have been read")
    if any(not (0 <= each.water_activity <= 1) for each in readings):
        raise _bad("a water activity is from 0 to 1")
    if any(not (0 <= each.moisture_percent <= 100) for each in readings):  # noqa: PLR2004 percent
        raise _bad("a moisture is from 0 to 100 percent")
    wanted = sample_count(run.racks_of(entry.id))
    return counted(readings, card_of(book, entry.card_id).dry_check, racks_wanted=wanted)


def _bad(message: str) -> BadInput:
    return BadInput((InputFault("dry check", None, "readings", message),))


def _state(book: Book, found: Lot, run: KeptRun, check: Check) -> LotState:
    """Held while the last check of any of its runs says so; passed once each was checked, those
    that the posted plan has still to come too."""
    last = {
        each.told.get("run"): each.told.get("decision")
        for each in book.happenings.where(subject=found.code, kind="dry check")
    }
    last[run.number] = check.decision
    if "hold" in last.values():
        return "held"
    runs = runs_of(book, found)
    left = [each for each in runs if each.number not in last]
    if any(each.unloaded is None for each in left):
        return "on racks"
    return "off racks" if left or _more_to_come(book, found, runs) else "passed"


def _more_to_come(book: Book, found: Lot, runs: list[KeptRun]) -> bool:
    """Whether the posted plan has the lot in more runs, and on more racks, than were started."""
    kept = posted_plan(book, found.week)
    planned = [each for _, each in charges_of(kept, found.note_id)] if kept else []
    racks = sum(each.racks for each in planned)
    begun = sum(each.racks_of(found.note_id) for each in runs)
    return len(planned) > len(runs) and racks > begun


def _told(run: KeptRun, check: Check, come_to: Counted) -> dict[str, Any]:
    return {
        "run": run.number,
        "readings": [asdict(each) for each in check.readings],
        "counted": come_to.decision,
        "reasons": list(come_to.reasons),
        "decision": check.decision,
        "decided_by": check.decided_by,
    }
