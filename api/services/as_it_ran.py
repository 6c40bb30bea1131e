"""Runs of a week as they went: on record, as posted where nobody wrote them down, or to come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import NamedTuple

from api.records.happened import Happening
from api.records.plans import KeptPlan
from api.services.ports import Book
from api.services.runs import KeptRun, kept_runs
from api.services.weeks import week_entry
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.outage import Outage, StartedCharge
from scheduler.domain.plan import Charge, Run
from scheduler.process.yields import trimmed_g
from scheduler.season.records import Ran
from scheduler.units import Grams, Racks


class Place(NamedTuple):
    """A charge of a posted plan, that plan's number, and its run."""

    plan: int
    run: Run
    charge: Charge


class Known(NamedTuple):
    """What is known of a week's runs. plans: every plan posted for it, the last in force; kept:
    runs on record, in order of start; told: all that happened to them and their lots; gone, came:
    notes let go, and at the door; until: what lies later has not come yet."""

    asked: Asked
    plans: dict[int, KeptPlan]
    kept: tuple[KeptRun, ...]
    told: tuple[Happening, ...]
    outages: tuple[Outage, ...]
    gone: frozenset[str]
    came: frozenset[str]
    until: datetime


def runs_for(book: Book, week: Week) -> tuple[KeptRun, ...]:
    """Runs on record of the week's lots, in order of start: also those of the week after that hold
    nothing else, and none of the lots of the week before."""
    day = timedelta(days=7)
    before, after = Week.of(week.monday - day), Week.of(week.monday + day)
    own = _at_the_door(book, week)
    theirs = _at_the_door(book, before) if week_entry(book, before).posted is not None else set()
    return (
        *(each for each in kept_runs(book, week) if not _notes(each) <= theirs),
        *(each for each in kept_runs(book, after) if _notes(each) <= own),
    )


def _at_the_door(book: Book, week: Week) -> set[str]:
    return {each.note_id for each in book.lots.where(week=week)}


def _notes(kept: KeptRun) -> set[str]:
    return {each.note_id for each in kept.run.charges}


@dataclass(frozen=True, slots=True)
class AsItRan:
    """Each run once, with its number on record, 0 where nobody wrote it down; and what was posted
    but has not come yet, or of which no lot came."""

    ran: tuple[tuple[int, Ran], ...]
    expected: tuple[Ran, ...]


def as_it_ran(known: Known) -> AsItRan:
    """What is on record goes before what was posted; a lot counts in one of them."""
    places = _Places.of(known)
    ran = [(each.number, _seen(known, places, each)) for each in known.kept]
    expected: list[Ran] = []
    last = list(known.plans)[-1]
    for run in known.plans[last].plan.runs:
        left = [each for each in places.left(last, run) if each.note_id not in known.gone]
        came = [each for each in left if each.note_id in known.came and run.end <= known.until]
        ran += [(0, part) for part in _part(run, came)]
        expected += _part(run, [each for each in left if each not in came])
    in_order = sorted(ran, key=lambda each: (each[1].run.start, each[1].run.dryer_id))
    return AsItRan(tuple(in_order), tuple(expected))


def _part(run: Run, charges: Iterable[Charge]) -> list[Ran]:
    part = replace(run, charges=tuple(charges))
    return [Ran(part, run, on_record=False)] if part.charges else []


class _Places:
    """Which places of posted plans the charges on record stand for. Named racks stand for the place
    of their note in the last plan that had one; racks that dry on stand for none."""

    def __init__(self, known: Known) -> None:
        self._known = known
        self._told = {each.number: each.told for each in known.told if each.run is not None}
        self._had: set[tuple[int, str, str]] = set()
        self._of: dict[tuple[int, str], list[Place]] = {}

    @classmethod
    def of(cls, known: Known) -> _Places:
        found = cls(known)
        fresh = [each for each in known.kept if not each.further]
        for kept in sorted(fresh, key=lambda each: found.planned(each) is None):
            for charge in kept.run.charges:
                found._take(kept, charge)
        return found

    def planned(self, kept: KeptRun) -> Run | None:
        """The run as which it was started, None where racks were named."""
        told = self._told[kept.number]
        plan = self._known.plans.get(told.get("plan") or 0)
        runs = plan.plan.runs if plan else ()
        return next((run for run in runs if run.id == told.get("planned")), None)

    def under(self, kept: KeptRun, note_id: str) -> list[Place]:
        return self._of.get((kept.number, note_id), [])

    def left(self, plan: int, run: Run) -> list[Charge]:
        """What of a planned run nothing on record stands for."""
        return [each for each in run.charges if (plan, run.id, each.note_id) not in self._had]

    def _take(self, kept: KeptRun, charge: StartedCharge) -> None:
        for plan in dict.fromkeys(self._plans(kept, charge.note_id)):
            racks, found = charge.racks, list[Place]()
            for place in self._free(plan, kept, charge.note_id):
                if found and racks * 2 < place.charge.racks:  # the rest of it is still to come
                    break
                found.append(place)
                racks = Racks(racks - place.charge.racks)
            self._had |= {(plan, each.run.id, charge.note_id) for each in found}
            self._of.setdefault((kept.number, charge.note_id), found)

    def _plans(self, kept: KeptRun, note_id: str) -> Iterator[int]:
        if self.planned(kept):
            yield self._told[kept.number]["plan"]
        for number, each in reversed(self._known.plans.items()):
            if any(charge.note_id == note_id for _, charge in each.plan.charges()):
                yield number
                return

    def _free(self, plan: int, kept: KeptRun, note_id: str) -> list[Place]:
        """Not taken yet, the likeliest first: as told, in that dryer, at about that time."""
        named, was = self._told[kept.number].get("planned"), kept.run
        found = [
            Place(plan, run, charge)
            for run in self._known.plans[plan].plan.runs
            for charge in self.left(plan, run)
            if charge.note_id == note_id
        ]
        return sorted(
            found,
            key=lambda each: (
                each.run.id != named,
                each.run.dryer_id != was.dryer_id,
                abs(each.run.start - was.start),
            ),
        )


def _seen(known: Known, places: _Places, kept: KeptRun) -> Ran:
    planned, was = places.planned(kept), kept.dried
    run = Run(
        id=planned.id if planned else f"on record {kept.number}",
        dryer_id=was.dryer_id,
        set_point_c=was.set_point_c,
        start=was.start,
        end=was.end,
        released=max(was.end, kept.unloaded or was.end),
        unload=None,
        wash_down=None,
        charges=tuple(_charges(known, places, kept)),
    )
    return Ran(run, planned, on_record=True, again=_again(known, places, kept))


def _again(known: Known, places: _Places, kept: KeptRun) -> bool:
    """Whether its racks were in a dryer before: back after a dry check, or after a stop."""
    if kept.further:
        return True
    notes = _notes(kept)
    if any(places.under(kept, note_id) for note_id in notes):
        return False
    return all(_stopped(known, kept, each) or _held(known, kept, each) for each in notes)


def _stopped(known: Known, kept: KeptRun, note_id: str) -> bool:
    """Whether a dryer that held it before stopped under way."""
    return any(
        stop.station_id == each.run.dryer_id and each.run.start <= stop.stopped < each.run.end
        for each in known.kept
        if each.run.start < kept.run.start and each.racks_of(note_id)
        for stop in known.outages
    )


def _held(known: Known, kept: KeptRun, note_id: str) -> bool:
    """Whether a dry check of an earlier run held it before this one started."""
    earlier = {each.number for each in known.kept if each.racks_of(note_id)}
    return any(
        each.told["decision"] == "hold" and each.told["run"] in earlier
        for each in known.told
        if each.kind == "dry check" and each.at <= kept.run.start
    )


def _charges(known: Known, places: _Places, kept: KeptRun) -> Iterator[Charge]:
    """As planned, with the racks on record; several where several places went into one run."""
    first = 1
    for each in kept.run.charges:
        under, left = places.under(kept, each.note_id), each.racks
        for place in under:
            last = place is under[-1]
            racks = left if last else place.charge.racks
            as_planned = racks == place.charge.racks and len(under) == 1
            position = place.charge.first_rack if as_planned else first
            yield replace(place.charge, racks=racks, first_rack=position)
            first, left = first + racks, Racks(left - racks)
        if not under:
            yield _made(known, places, kept, each, first=first)
            first += each.racks


def _made(
    known: Known, places: _Places, kept: KeptRun, charge: StartedCharge, *, first: int
) -> Charge:
    """A charge that no plan had: by its racks, its share of what else is not placed of the note;
    of the whole note, where the racks dry on."""
    note = known.asked.note(charge.note_id)
    again = _again(known, places, kept)
    fresh = [each for each in known.kept if not _again(known, places, each)]
    whole, share_of = note.field_g, fresh
    if not again:
        share_of = [each for each in fresh if not places.under(each, note.id)]
        whole = _unplaced(known, places, fresh, note.id)
    racks = sum(each.racks_of(note.id) for each in share_of)
    field = Grams(whole * min(charge.racks, racks) // max(1, racks))
    prepared = trimmed_g(field, known.asked.card(note.card_id).trim_loss_percent)
    return Charge(note.id, "", charge.racks, first, field, prepared)


def _unplaced(known: Known, places: _Places, fresh: list[KeptRun], note_id: str) -> Grams:
    """Field weight of the note that is in no place taken, nor in one still to come."""
    taken = [each.charge for kept in fresh for each in places.under(kept, note_id)]
    last = list(known.plans)[-1]
    for run in known.plans[last].plan.runs:
        taken += [each for each in places.left(last, run) if each.note_id == note_id]
    return Grams(max(0, known.asked.note(note_id).field_g - sum(each.field_g for each in taken)))
