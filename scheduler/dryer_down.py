"""When a dryer stops: what is inside, how long it can wait, where it could go, what comes next."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer
from scheduler.domain.part_lot import LONGEST_STOOD, PartLot
from scheduler.domain.plan import Charge, Run
from scheduler.domain.process_card import ProcessCard
from scheduler.exposure_clock import part_clock
from scheduler.process.exposure import exposure_left_s
from scheduler.process.keeping import keeping_s
from scheduler.process.racks import racks_needed
from scheduler.started import moved_from, stood_most_s
from scheduler.units import Racks, Seconds

FOREVER = timedelta(days=60)
WARM_C = 20.0  # a kitchen's room at night: common practice
Hindrance = Literal["", "down", "group", "set point", "in use"]


@dataclass(frozen=True, slots=True)
class InDryer:
    """A run as it stands: on record, else as planned. out: when the dryer is empty again, None for
    a run on record that nobody has unloaded. posted: the plan it is taken from is. part_lots: of
    that plan. What is kept cold counts as in a run there (see kept_cold)."""

    asked: Asked
    run: Run
    on_record: bool
    out: datetime | None
    posted: bool = True
    part_lots: tuple[PartLot, ...] = ()

    def holds(self, at: datetime) -> bool:
        return self.run.start <= at and (self.out is None or at < self.out)

    def card(self, charge: Charge) -> ProcessCard:
        return self.asked.card(self.note(charge).card_id)

    def note(self, charge: Charge) -> HarvestNote:
        return self.asked.note(charge.note_id)


@dataclass(frozen=True, slots=True)
class Room:
    """Another dryer, and what keeps racks from going there (rules 6 and 8; "": nothing).

    racks: how many it would take there, which may be more than it has. free_from: where it is
    in use, when it may be loaded as planned. until: the start of its next run. wash_down: one is
    needed first.
    """

    dryer: Dryer
    hindrance: Hindrance
    racks: Racks
    free_from: datetime | None = None
    until: datetime | None = None
    wash_down: bool = False


@dataclass(frozen=True, slots=True)
class Inside:
    """A charge in a dryer at some instant.

    left_s: of its card's drying hours. stood_s: cut and warm before that instant (rule 19), None
    where that is not known: then stood_most_s counts, the worst that can be. ask_by: when the clock
    of exposure asks a person; None once its drying hours are over. part_lot: that it is
    already.
    """

    charge: Charge
    card: ProcessCard
    left_s: Seconds
    stood_s: Seconds | None
    ask_by: datetime | None
    rooms: tuple[Room, ...]
    stood_most_s: Seconds = LONGEST_STOOD
    part_lot: PartLot | None = None

    @property
    def stood(self) -> Seconds:
        """What is counted."""
        return self.stood_most_s if self.stood_s is None else self.stood_s

    def having_stood(self, stood_s: Seconds) -> Inside:
        """The same, where it is known better how long it had stood."""
        wait = timedelta(seconds=exposure_left_s(stood_s) - exposure_left_s(self.stood))
        return replace(self, stood_s=stood_s, ask_by=self.ask_by and self.ask_by + wait)

    @property
    def could_go(self) -> tuple[Room, ...]:
        return tuple(each for each in self.rooms if not each.hindrance)


@dataclass(frozen=True, slots=True)
class Keeps:
    """A lot that waits whole. until: its latest start, in the cold store; warm_until: the same
    keeping time at WARM_C, counted from the instant asked about."""

    note: HarvestNote
    card: ProcessCard
    until: datetime
    warm_until: datetime


def inside(
    standing: Sequence[InDryer],
    dryer_id: str,
    at: datetime,
    *,
    down: Collection[str] = (),
    now: datetime | None = None,
) -> tuple[Inside, ...]:
    """What is in that dryer then, as if it stopped at that instant.

    down: dryers that stand still. now: when racks would be moved; where none is named, at once.
    Source: rules 5, 6, 8, 19 and 20.
    """
    found = (each for each in standing if each.run.dryer_id == dryer_id and each.holds(at))
    there = _Others(standing, frozenset({*down, dryer_id}), now or at)
    return tuple(_inside(own, charge, there, at=at) for own in found for charge in own.run.charges)


def rooms_for(
    own: InDryer,
    charge: Charge,
    standing: Sequence[InDryer],
    *,
    at: datetime,
    down: Collection[str] = (),
) -> tuple[Room, ...]:
    """What each dryer, its own too, has for the racks of a charge that has left its run."""
    there = _Others(standing, frozenset(down), at)
    return tuple(_room(own, charge, each, there) for each in own.asked.kitchen.dryers)


@dataclass(frozen=True, slots=True)
class _Others:
    """The house around a stopped dryer when racks would be moved."""

    standing: Sequence[InDryer]
    down: frozenset[str]
    at: datetime


def _inside(own: InDryer, charge: Charge, there: _Others, *, at: datetime) -> Inside:
    card, part = own.card(charge), _part_of(own, charge)
    left = _left_s(own, card, part, at=at) if at < own.run.end else Seconds(0)
    most = stood_most_s(own.asked.kitchen)
    stood = _stood_s(own, charge) if part is None else _clock_s(own.run, part, at)
    wait = timedelta(seconds=exposure_left_s(most if stood is None else stood))
    others = (each for each in own.asked.kitchen.dryers if each.id != own.run.dryer_id)
    return Inside(
        charge=charge,
        card=card,
        left_s=left,
        stood_s=stood,
        ask_by=at + wait if left else None,
        rooms=tuple(_room(own, charge, each, there) for each in others) if left else (),
        stood_most_s=most,
        part_lot=part,
    )


def _part_of(own: InDryer, charge: Charge) -> PartLot | None:
    """The part-lot that it is: of its code, in that dryer or cold place, the nearest."""
    run, found = own.run, []
    for each in own.part_lots if charge.preparation is None else ():
        starts = [on.start for on in (each.dries_on,) if on and on.dryer_id == run.dryer_id]
        starts += [held.since for held in (each.held,) if held and held.station_id == run.dryer_id]
        if each.code == charge.code and starts and each.stopped <= run.start:
            found.append((min(abs(start - run.start) for start in starts), each.stopped, each))
    return min(found, key=lambda each: each[:2])[2] if found else None


def _left_s(own: InDryer, card: ProcessCard, part: PartLot | None, *, at: datetime) -> Seconds:
    left = card.drying_s if part is None else part.left_s
    dries = part is None or (part.dries_on and part.dries_on.dryer_id == own.run.dryer_id)
    return Seconds(max(0, left - int((at - own.run.start).total_seconds()) if dries else left))


def _clock_s(run: Run, part: PartLot, at: datetime) -> Seconds:
    """Of a part-lot that went in when its run really began."""
    on = part.dries_on
    if on and on.dryer_id == run.dryer_id:
        part = replace(part, dries_on=replace(on, start=run.start))
    return part_clock(part, at).exposed_s


def kept_cold(asked: Asked, parts: Iterable[PartLot]) -> Iterator[InDryer]:
    """Part-lots that are kept cold, each as a run of the cold place that holds it, at the instant
    until which they are held included: it may be that of its stop."""
    for number, part in enumerate(parts, 1):
        held = part.held
        if held is None:
            continue
        note, until = asked.note(part.note_id), held.until or held.since + FOREVER
        until += timedelta.resolution
        charge = Charge(note.id, part.letter, part.racks, 1, note.field_g, part.prepared_g)
        run = Run(
            id=f"kept {number}",
            dryer_id=held.station_id,
            set_point_c=asked.card(note.card_id).set_point_c,
            start=held.since,
            end=until,
            released=until,
            unload=None,
            wash_down=None,
            charges=(charge,),
        )
        yield InDryer(asked, run, False, until, part_lots=(part,))


def _stood_s(own: InDryer, charge: Charge) -> Seconds | None:
    """From the first basket cut, when it has left the cold store, to the start of its run; else as
    it is on record, or as the part-lots have it that were made of it; else, of what an earlier stop
    left, from that on."""
    run = own.run
    if charge.preparation is not None:
        return Seconds(max(0, int((run.start - charge.preparation.cut.start).total_seconds())))
    for each in own.asked.happened.runs:
        if (each.dryer_id, each.start) == (run.dryer_id, run.start):
            told = (one.stood_s for one in each.charges if one.note_id == charge.note_id)
            written = next((stood for stood in told if stood is not None), None)
            if written is not None:
                return written
    left = (
        each
        for each in own.part_lots
        if (each.station_id, each.note_id) == (run.dryer_id, charge.note_id)
        and run.start <= each.stopped < run.end
    )
    part = next(left, None)
    moved = moved_from(own.asked, run, note_id=charge.note_id, parts=own.part_lots)
    if part is not None or moved is None:
        return part.stood_s if part else None
    stopped, _, since = moved
    most = stood_most_s(own.asked.kitchen) if stopped.stood_s is None else stopped.stood_s
    return Seconds(most + int((run.start - since).total_seconds()))


def _room(own: InDryer, charge: Charge, dryer: Dryer, others: _Others) -> Room:
    card, at = own.card(charge), others.at
    there = [each for each in others.standing if each.run.dryer_id == dryer.id]
    using = next((each for each in there if each.holds(at)), None)
    hindrance = "down" if dryer.id in others.down else _hindrance(own.run, card, dryer)
    if using is not None and not hindrance:
        hindrance = "in use"
    return Room(
        dryer=dryer,
        hindrance=hindrance,
        racks=racks_needed(charge.prepared_g, card.g_per_m2, rack_area_cm2=dryer.rack_area_cm2),
        free_from=None if using is None else _free_from(using, dryer),
        until=min((each.run.start for each in there if each.run.start > at), default=None),
        wash_down=_needs_wash_down(own.asked, card.group, there, at),
    )


def _hindrance(run: Run, card: ProcessCard, dryer: Dryer) -> Hindrance:
    """What of the dryer itself is in the way."""
    if card.group not in dryer.groups:
        return "group"
    return "" if dryer.coolest_c <= run.set_point_c <= dryer.hottest_c else "set point"


def _free_from(using: InDryer, dryer: Dryer) -> datetime:
    """Unloaded as planned, then its turn-round."""
    unload = using.run.unload
    start = using.run.released if unload is None else unload.start
    return start + timedelta(seconds=dryer.turn_round_s)


def _needs_wash_down(asked: Asked, group: str, there: Iterable[InDryer], at: datetime) -> bool:
    """Whether the last run there was of a group that asks for one before this group."""
    before = [each for each in there if each.run.start <= at]
    if not before:
        return False
    last = max(before, key=lambda each: each.run.start)
    washed = last.run.wash_down is not None and last.run.wash_down.end <= at
    was = last.card(last.run.charges[0]).group
    return not washed and group in asked.kitchen.group(was).wash_down_before


def waiting_for(
    standing: Iterable[InDryer], dryer_id: str, at: datetime, *, within: timedelta
) -> tuple[tuple[InDryer, tuple[Keeps, ...]], ...]:
    """The runs that dryer has next, and until when their lots keep if they wait whole (rule 4)."""
    coming = (
        each
        for each in standing
        if each.run.dryer_id == dryer_id and at < each.run.start <= at + within
    )
    return tuple(
        (each, tuple(_keeps(each, charge, at) for charge in each.run.charges))
        for each in sorted(coming, key=lambda each: each.run.start)
    )


def in_cold_store(standing: Iterable[InDryer], at: datetime) -> tuple[Keeps, ...]:
    """The lots that stand in the cold store then, those that keep least if it stops first.

    As planned: from arrival until cut; who waits outside it is left out.
    """
    found = {
        charge.note_id: _keeps(each, charge, at)
        for each in standing
        for charge in each.run.charges
        if _is_cold(each, charge, at)
    }
    return tuple(sorted(found.values(), key=lambda each: (each.warm_until, each.note.id)))


def _is_cold(own: InDryer, charge: Charge, at: datetime) -> bool:
    if own.card(charge).waits_outside_cold or charge.preparation is None:
        return False
    return own.note(charge).arrives <= at < charge.preparation.cut.start


def _keeps(own: InDryer, charge: Charge, at: datetime) -> Keeps:
    note = own.note(charge)
    cold_s = Seconds(max(0, int((note.latest_start - at).total_seconds())))
    warm_s = keeping_s(cold_s, own.asked.kitchen.cold_store.celsius, at_c=WARM_C)
    return Keeps(note, own.card(charge), note.latest_start, at + timedelta(seconds=warm_s))


def next_in(standing: Iterable[InDryer], dryer_id: str, at: datetime) -> InDryer | None:
    """The next run that starts in that dryer."""
    coming = (each for each in standing if each.run.dryer_id == dryer_id and each.run.start > at)
    return min(coming, key=lambda each: each.run.start, default=None)
