"""The dry check of a lot: readings kept, counted by the tool, decided by the person named."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any

from api.records.happened import Happening
from api.records.notes import Lot, LotState, NoteEntry
from api.services.at_the_door import charges_of, posted_plan
from api.services.deeds import keep_deed
from api.services.errors import NotAllowed, NotNow
from api.services.house import card_of
from api.services.lots import lot
from api.services.notes import note
from api.services.ports import Book
from api.services.roles import Act, Doing
from api.services.runs import KeptRun, runs_of
from api.services.telling import tell_of_lot
from api.services.to_check import racks_in
from api.services.versions import same_version
from scheduler.day_sheet.sampling import sample_count
from scheduler.errors import BadInput, InputFault
from scheduler.process.dry_check import Counted, Decision, Reading, counted

SECOND = 2  # failures from which on the manager decides
HELD = "held after its dry check. Wait for word from the kitchen before you come to pack it."
PASSED = "its dry check was passed."


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
    the other way round: NotNow. Nor before the run is unloaded. What a second check holds is let
    pass by the manager alone: NotAllowed."""
    found = lot(book, doing, code, Act.DRY_CHECK)
    same_version(version, found.version, f"lot {code}")
    if found.state in ("packed", "discarded"):
        raise NotNow(f"lot {code} is {found.state}")
    entry = note(book, doing, found.note_id, Act.DRY_CHECK)
    run = _unloaded(book, found, check.run)
    _must_be_its_racks(book, found, run, check.readings)
    come_to, before = _counted(book, entry, run, check.readings), failures(book, found)
    if check.decision == "pass" and come_to.decision == "hold":
        raise NotNow(f"lot {code} is to be held: {'; '.join(come_to.reasons)}")
    if check.decision == "pass" and last_decisions(book, found).get(run.number) == "hold":
        must_be_manager(book, doing, found)
    checked = replace(found, state=_state(book, found, run, check), version=found.version + 1)
    book.lots.replace(checked)
    told = _told(run, check, come_to)
    at, by = check.at or doing.at, doing.person.id
    book.happenings.add(Happening("dry check", at, by, found.week, code, told))
    keep_deed(book, doing, Act.DRY_CHECK, code, run=run.number, decision=check.decision)
    _tell(book, doing, entry, before=before, checked=checked)
    return Checked(checked, run.number, check, come_to)


def failures(book: Book, found: Lot) -> int:
    """How often it was held after a dry check."""
    told = book.happenings.where(subject=found.code, kind="dry check")
    return sum(each.told["decision"] == "hold" for each in told)


def must_be_manager(book: Book, doing: Doing, found: Lot) -> None:
    """NotAllowed for anybody else once it has failed twice."""
    if failures(book, found) >= SECOND and doing.person.role != "manager":
        raise NotAllowed(f"lot {found.code} failed a second dry check: the manager decides")


def _tell(book: Book, doing: Doing, entry: NoteEntry, *, before: int, checked: Lot) -> None:
    """Its grower hears that it is held, and that it passed after it was."""
    if checked.state == "held":
        tell_of_lot(book, doing, entry, HELD)
    elif checked.state == "passed" and before:
        tell_of_lot(book, doing, entry, PASSED, turns=True)


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
    gone = {each.further for each in runs_of(book, found)}
    unloaded = [each for each in runs if each.unloaded is not None and each.number not in gone]
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
    last = last_decisions(book, found) | {run.number: check.decision}
    if "hold" in last.values():
        return "held"
    runs = runs_of(book, found)
    gone = {each.further for each in runs}
    left = [each for each in runs if each.number not in (*last, *gone)]
    if any(each.unloaded is None for each in left):
        return "back to dryer" if all(each.further for each in left) else "on racks"
    return "off racks" if left or _more_to_come(book, found, runs) else "passed"


def last_decisions(book: Book, found: Lot) -> dict[int, Decision]:
    """By the number of each run; none of those of which the racks went on into a further run."""
    gone = {each.further for each in runs_of(book, found)}
    told = [each.told for each in book.happenings.where(subject=found.code, kind="dry check")]
    return {each["run"]: each["decision"] for each in told if each["run"] not in gone}


def _more_to_come(book: Book, found: Lot, every: list[KeptRun]) -> bool:
    """Whether the posted plan has the lot in more runs, and on more racks, than were started."""
    runs = [each for each in every if not each.further]
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
