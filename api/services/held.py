"""Lots held after their dry check: hours more, back to a dryer, or discarded; who may say so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from api.records.happened import Happening
from api.records.notes import Lot
from api.services.deeds import keep_deed
from api.services.dry_checks import SECOND, failures, last_decisions, must_be_manager
from api.services.errors import NotNow
from api.services.house import card_of, zone_of
from api.services.lots import lot
from api.services.night import house_at
from api.services.notes import note
from api.services.packing_turns import Packing, after_drying_on, keep_packing, packing_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.runs import KeptRun, Start, runs_of, start
from api.services.telling import tell_of_lot
from api.services.turns import end_turns
from api.services.versions import same_version
from scheduler.back_to_dryer import Way, ways_back
from scheduler.domain.outage import StartedCharge
from scheduler.domain.plan import Charge
from scheduler.domain.process_card import ProcessCard
from scheduler.dryer_down import InDryer
from scheduler.errors import BadInput, InputFault
from scheduler.process.dry_check import Reading
from scheduler.process.drying import Range
from scheduler.process.more_hours import more_hours, proposed_s
from scheduler.units import HOUR, Seconds
from scheduler.wording import clock, short_day

DISCARDED = "discarded after its dry check; its packing turn is called off."
AT_ONCE = timedelta(minutes=15)  # to bring the racks over: demo
MOST_S = Seconds(72 * HOUR)  # no drying goes on for longer than the longest card three times: demo


@dataclass(frozen=True, slots=True)
class Held:
    """One lot in one run. hours: what its worst readings come to, None where they are within the
    card's limits. dries_s: so long a further run is proposed to last, 0 where nothing follows.
    manager_decides: it failed a second time."""

    lot: Lot
    card: ProcessCard
    run: KeptRun
    check: Happening
    failures: int
    hours: Range | None
    dries_s: Seconds
    ways: tuple[Way, ...]

    @property
    def manager_decides(self) -> bool:
        return self.failures >= SECOND

    @property
    def possible(self) -> tuple[Way, ...]:
        return tuple(each for each in self.ways if not each.why)


@dataclass(frozen=True, slots=True)
class Back:
    """A further run of what is held: in which dryer, for how long (as proposed, if not said), since
    when, if not just now."""

    dryer_id: str
    dries_s: Seconds | None = None
    run: int | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class WentOn:
    """The further run, and what became of the packing turn."""

    run: KeptRun
    lot: Lot
    packing: Packing


def held_lots(book: Book, doing: Doing) -> tuple[Held, ...]:
    """All that are held, in order of code."""
    must(doing, Act.PUT_RIGHT)
    codes = [each.code for each in book.lots.where(state="held")]
    return tuple(held(book, doing, code) for code in codes)


def held(book: Book, doing: Doing, code: str, *, run: int | None = None) -> Held:
    """One of them, in that run or the last that holds it; NotNow where it is not held."""
    found = lot(book, doing, code, Act.PUT_RIGHT)
    own = _held_run(book, found, run)
    entry = note(book, doing, found.note_id, Act.PUT_RIGHT)
    card, check = card_of(book, entry.card_id), _check(book, found, own)
    readings = tuple(Reading(**each) for each in check.told["readings"])
    hours = more_hours(card, readings, celsius=own.run.set_point_c)
    dries_s = proposed_s(hours) if hours else Seconds(0)
    return Held(
        lot=found,
        card=card,
        run=own,
        check=check,
        failures=failures(book, found),
        hours=hours,
        dries_s=dries_s,
        ways=_ways(book, own, found, at=doing.at, dries_s=dries_s) if dries_s else (),
    )


def _held_run(book: Book, found: Lot, number: int | None) -> KeptRun:
    decisions = last_decisions(book, found)
    runs = [
        each
        for each in runs_of(book, found)
        if decisions.get(each.number) == "hold" and number in (None, each.number)
    ]
    if found.state != "held" or not runs:
        raise NotNow(f"lot {found.code} is {found.state}, not held")
    return runs[-1]


def _check(book: Book, found: Lot, run: KeptRun) -> Happening:
    told = book.happenings.where(subject=found.code, kind="dry check")
    return [each for each in told if each.told["run"] == run.number][-1]


def _ways(
    book: Book, run: KeptRun, found: Lot, *, at: datetime, dries_s: Seconds
) -> tuple[Way, ...]:
    house = house_at(book, at)
    for own, charge in _inside(house.standing, run, found):
        return ways_back(own, charge, house.standing, at=at, dries_s=dries_s, down=house.stopped)
    return ()


def _inside(
    standing: tuple[InDryer, ...], run: KeptRun, found: Lot
) -> Iterator[tuple[InDryer, Charge]]:
    """That run as it stands in the house, and the charge of the lot in it."""
    for each in standing:
        same = (each.run.dryer_id, each.run.start) == (run.run.dryer_id, run.run.start)
        for charge in each.run.charges:
            if same and each.on_record and charge.note_id == found.note_id:
                yield each, charge


def send_back(book: Book, doing: Doing, code: str, *, version: int, back: Back) -> WentOn:
    """Its racks dry on, as a further run on record; its packing turn moves with it or is called
    off, and its grower hears of it.

    NotNow where it is not held, or the run would not be out in time for what is planned there;
    NotAllowed for anybody but the manager after a second failure; BadInput for no hours, or more
    than any drying takes.
    """
    found = lot(book, doing, code, Act.PUT_RIGHT)
    same_version(version, found.version, f"lot {code}")
    own = _held_run(book, found, back.run)
    must_be_manager(book, doing, found)
    at, lasts = back.at or doing.at, back.dries_s or _proposed(book, doing, own, code)
    if not 0 < lasts <= MOST_S:
        raise BadInput((InputFault("back", None, "hours", "must be more than 0, at most 72"),))
    way, inside, charge = _way(book, own, found, back.dryer_id, at=at, lasts=lasts)
    if way.stretched and back.dries_s:
        raise NotNow(f"lot {code} cannot go into {back.dryer_id}: {_WHY['night end']}")
    racks = StartedCharge(found.note_id, way.racks)
    ends = at + (way.end - way.start)
    said = Start(way.dryer.id, at, own.run.set_point_c, ends, (racks,), further=own.number)
    kept = start(book, doing, said)
    turn = packing_of(book, found.note_id, charge.code)
    card = inside.card(charge)
    packing = after_drying_on(book, inside.asked, turn, card=card, way=way)
    packing = keep_packing(book, doing, turn, packing)
    told = {"run": own.number, "further": kept.number, "dryer": back.dryer_id, "dries_s": lasts}
    keep_deed(book, doing, Act.PUT_RIGHT, code, packing=packing.became, **told)
    entry = note(book, doing, found.note_id, Act.PUT_RIGHT)
    tell_of_lot(book, doing, entry, _said(book, way, packing))
    return WentOn(kept, _still_held(book, code), packing)


def _proposed(book: Book, doing: Doing, own: KeptRun, code: str) -> Seconds:
    return held(book, doing, code, run=own.number).dries_s


def _way(
    book: Book, own: KeptRun, found: Lot, dryer_id: str, *, at: datetime, lasts: Seconds
) -> tuple[Way, InDryer, Charge]:
    """The way into that dryer; NotNow where it is none."""
    house = house_at(book, at)
    inside, charge = next(_inside(house.standing, own, found))
    every = ways_back(inside, charge, house.standing, at=at, dries_s=lasts, down=house.stopped)
    way = next((each for each in every if each.dryer.id == dryer_id), None)
    if way is None:
        raise BadInput((InputFault("back", None, "dryer_id", f"there is no dryer {dryer_id}"),))
    if way.why:
        raise NotNow(f"lot {found.code} cannot go into {dryer_id}: {_WHY[way.why]}")
    if is_later(way, at):
        free = way.start.astimezone(zone_of(book))
        raise NotNow(f"lot {found.code} can go into {dryer_id} from {free:%a %H:%M} on only")
    return way, inside, charge


def is_later(way: Way, at: datetime) -> bool:
    """Whether that dryer cannot be loaded at once, as planned."""
    return way.start > at + AT_ONCE


_WHY = {
    "down": "it is down (rule 20)",
    "group": "it does not take this group (rule 6)",
    "set point": "the set point is not in its range (rule 6)",
    "racks": "it has too few racks (rule 5)",
    "next run": "it would not be out and turned round before its next run (rules 8 and 18)",
    "night end": "it would end too long before the kitchen opens (rule 3)",
    "closed": "the kitchen is not staffed again in this week (rule 2)",
}


def _still_held(book: Book, code: str) -> Lot:
    """Held all the same while racks of another run of it are."""
    found = book.lots.find(code)
    if found is None:
        raise LookupError(code)
    if "hold" in last_decisions(book, found).values():
        found = replace(found, state="held")
        book.lots.replace(found)
    return found


def _said(book: Book, way: Way, packing: Packing) -> str:
    def told(at: datetime) -> str:
        local = at.astimezone(zone_of(book))
        return f"{short_day(local)} {clock(local)}"

    said = f"not dry enough yet at its dry check; it dries on until about {told(way.end)}."
    if packing.before is None:
        return said
    if packing.became == "stays":
        return f"{said} You pack {told(packing.before.start)}, as before."
    if packing.after is None:
        return (
            f"{said} Your packing turn {told(packing.before.start)} no longer holds;"
            " the kitchen tells you another."
        )
    return f"{said} You pack {told(packing.after.start)} instead of {told(packing.before.start)}."


def discard(book: Book, doing: Doing, code: str, *, version: int, why: str) -> Lot:
    """It comes to nothing: its turns end, and its grower hears of it. NotNow where it is not held;
    NotAllowed as for sending it back."""
    found = lot(book, doing, code, Act.PUT_RIGHT)
    same_version(version, found.version, f"lot {code}")
    _held_run(book, found, None)
    must_be_manager(book, doing, found)
    gone = replace(found, state="discarded", version=found.version + 1)
    book.lots.replace(gone)
    what = Happening("discarded", doing.at, doing.person.id, found.week, code, {"why": why})
    book.happenings.add(what)
    end_turns(book, doing, found.note_id, "stood down")
    keep_deed(book, doing, Act.PUT_RIGHT, code, discarded=why)
    entry = note(book, doing, found.note_id, Act.PUT_RIGHT)
    tell_of_lot(book, doing, entry, DISCARDED)
    return gone
