"""What is proposed for the racks of stopped charges: dry on, cold shelf, freezer, or a decision."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from scheduler.domain.kitchen import Kitchen
from scheduler.domain.mend import Way
from scheduler.domain.part_lot import DriesOn, Held, PartLot
from scheduler.emergency.hands import tonight
from scheduler.emergency.slots import House, Slot
from scheduler.emergency.stopped import Stopped
from scheduler.units import MINUTE, Grams, Racks

TO_SHELF = timedelta(seconds=30 * MINUTE)  # thinned, covered, on the shelf: demo
OUT_AGAIN = timedelta(seconds=30 * MINUTE)  # from the shelf into a dryer: demo
SOON = timedelta(hours=2)  # who dries on sooner is not put on the shelf before: demo
PAIR = 2  # rule 20: two on call, or one with the manager on the telephone
NEAREST = 3  # slots that proposals try, after the first that displaces nothing
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def part_g(part: PartLot, water_in_percent: float) -> Grams:
    """What a part-lot weighs now. Source: balance of dry matter."""
    dry = part.prepared_g * (100 - water_in_percent)
    return Grams(round(dry / (100 - part.water_percent)))


@dataclass(slots=True)
class Proposal:
    """Part-lots of all charges of one stop, least time left first. instead: a later slot for the
    first part that has to wait, so many places down the list."""

    house: House
    instead: int = 0
    made: list[PartLot] = field(default_factory=list)

    def of(self, charges: Iterable[Stopped]) -> tuple[PartLot, ...]:
        for what in sorted(charges, key=lambda each: (each.limit, each.note.id)):
            self._place(what)
        return tuple(self.made)

    def one(self, what: Stopped, letter: str, *, lost: bool) -> PartLot:
        """All its racks as one part-lot of that letter. lost: no way is looked for."""
        if what.out is not None and what.was and not lost:
            return self._soon(what, what.was)
        fits = (each for each in self.house.slots(what, self.made) if not lost)
        slot = next(
            (s for s in fits if s.dryer.racks >= what.racks and self._in_time(what, s)), None
        )
        part = replace(self._part(what, what.racks, slot), letter=letter)
        return replace(part, held=None, hands=()) if lost else part

    def later(self, what: Stopped, part: PartLot) -> PartLot:
        """The same, kept where it is cold until the cheapest run that takes all of it."""
        soonest = self.house.hands.there + OUT_AGAIN
        for slot in self.house.slots(what, self.made):
            until = self._out(slot)
            in_time = part.held and part.held.since + (slot.start - until) <= what.limit
            if part.held is None or not (in_time or part.goes_on):
                continue
            if slot.start >= soonest and slot.dryer.racks >= what.racks:
                return replace(
                    part, held=replace(part.held, until=until), dries_on=self._run(what, slot)
                )
        return part

    def _out(self, slot: Slot) -> datetime:
        """When it leaves the cold; with the loading where nobody is there before."""
        out = slot.start - OUT_AGAIN
        return out if self.house.hands.hold(out) else slot.start

    def _place(self, what: Stopped) -> None:
        if what.is_cold and what.was and what.was.held:
            held = replace(what.was.held, until=None)
            waits = replace(what.was, held=held, dries_on=None)
            self.made.append(self.later(what, waits))
            return
        if what.out is not None and what.was:
            self.made.append(self._soon(what, what.was))
            return
        left, parts = what.waiting, list(self._moved(what))
        while left:
            slot = self._slot(what, parts)
            racks = left if slot is None else min(left, slot.dryer.racks)
            parts.append(self._part(what, racks, slot))
            left -= racks
        self.made.extend(self._lettered(what, parts))

    def _moved(self, what: Stopped) -> Iterator[PartLot]:
        """What dries on elsewhere already; a person decides where that was after the limit."""
        for racks, run in what.moved:
            part = self._part(what, racks, None)
            staffed = any(
                span.start <= run.start <= span.end for span in self.house.asked.staffed()
            )
            hands = () if staffed else night_crew(self.house.asked.kitchen, what.at)
            in_time = run if run.start <= what.limit else None
            yield replace(part, held=None, dries_on=in_time, hands=hands if in_time else ())

    def _soon(self, what: Stopped, was: PartLot) -> PartLot:
        """Out of the cold already: dries on before the limit, or a person decides."""
        for slot in self.house.slots(what, self.made):
            if slot.start <= what.limit and slot.dryer.racks >= what.racks:
                return replace(was, dries_on=self._run(what, slot))
        return replace(was, held=None, dries_on=None, hands=())

    def _slot(self, what: Stopped, parts: list[PartLot]) -> Slot | None:
        slots = self.house.slots(what, (*self.made, *parts))
        if parts and self.instead:
            free = [each for each in slots[1:] if not each.displaced][:1]
            others = [*free, *(each for each in slots[1:NEAREST] if each not in free)]
            slots = others[self.instead - 1 :] or slots
        return next((each for each in slots if self._in_time(what, each)), None)

    def _in_time(self, what: Stopped, slot: Slot) -> bool:
        return slot.start <= what.limit or self._held(what, slot, racks=what.racks) is not None

    def _part(self, what: Stopped, racks: int, slot: Slot | None) -> PartLot:
        held = None
        there = self.house.hands.there
        direct = slot is not None and slot.start <= min(what.limit, there + SOON)
        if not direct:
            held = self._held(what, slot, racks=racks)
        if slot is not None and not direct and held is None and slot.start > what.limit:
            slot = None
        runs = None if slot is None else self._run(what, slot)
        part = PartLot(
            note_id=what.note.id,
            letter="",
            racks=Racks(racks),
            prepared_g=Grams(what.prepared_g * racks // what.racks),
            station_id=what.station_id,
            stopped=what.at,
            left_s=what.left_s,
            water_percent=round(what.water_percent, 1),
            stood_s=what.stood_s,
            stood_most_s=what.stood_most_s,
            held=held,
            dries_on=runs,
        )
        return replace(part, hands=self._names(part))

    def _run(self, what: Stopped, slot: Slot) -> DriesOn:
        return DriesOn(slot.dryer.id, what.set_point_c, slot.start, slot.end)

    def _held(self, what: Stopped, slot: Slot | None, *, racks: int) -> Held | None:
        """On the part-dry shelf, else in the freezer; None where neither is free in time."""
        loading = [
            each.dries_on.start
            for each in self.made
            if each.dries_on and each.held is None and each.stopped == what.at
        ]
        begins = self.house.hands.there
        if slot is None or not loading:
            loading = [s.start for s in self.house.slots(what, self.made)[:1] if s is not slot]
        loading = [each for each in loading if each <= begins + SOON]
        hands = self.house.hands
        since = hands.after(max([begins, *loading]), int(TO_SHELF.total_seconds()))
        until = self._out(slot) if slot else None
        out = slot.start - until if slot and until else timedelta()
        if since is None or since + out > what.limit or (until and until < since):
            return None
        weight = Grams(what.prepared_g * racks // what.racks)
        for station_id, holds in self._cold(what):
            part = replace(_empty(what), racks=Racks(racks), prepared_g=weight)
            if self._kept(station_id) + part_g(part, what.card.water_in_percent) <= holds:
                return Held(station_id, since, until)
        return None

    def _cold(self, what: Stopped) -> Iterator[tuple[str, int]]:
        kitchen = self.house.asked.kitchen
        for station_id, holds in cold_places(kitchen):
            if not self._down(station_id, what.at):
                yield station_id, holds

    def _down(self, station_id: str, at: datetime) -> bool:
        return any(
            each.station_id == station_id and (each.back is None or each.back > at)
            for each in self.house.asked.happened.outages
        )

    def _kept(self, station_id: str) -> int:
        """Grams that part-lots hold there already."""
        asked, plan = self.house.asked, self.house.plan
        there = (*(plan.part_lots if plan else ()), *self.made)
        return sum(
            part_g(each, asked.card(asked.note(each.note_id).card_id).water_in_percent)
            for each in there
            if each.held and each.held.station_id == station_id
        )

    def _names(self, part: PartLot) -> tuple[str, ...]:
        hands = self.house.hands
        starts = [each.since for each in (part.held,) if each]
        starts += [each.start for each in (part.dries_on,) if each]
        if not any(hands.by_night(each) for each in starts):
            return ()
        return night_crew(self.house.asked.kitchen, part.stopped)

    def _lettered(self, what: Stopped, parts: list[PartLot]) -> Iterator[PartLot]:
        own = what.was.letter if what.was else ""
        if len(parts) == 1:
            yield replace(parts[0], letter=own)
            return
        spare = what.prepared_g - sum(each.prepared_g for each in parts)
        every = (*(self.house.plan.part_lots if self.house.plan else ()), *self.made)
        known = {each.letter for each in every if each.note_id == what.note.id} if own else set()
        free = [each for each in LETTERS if each not in known | {own}]
        letters = [own, *free] if own else free
        for place, (letter, each) in enumerate(zip(letters, parts, strict=False)):
            more = 0 if place else spare
            yield replace(each, letter=letter, prepared_g=Grams(each.prepared_g + more))


def night_crew(kitchen: Kitchen, at: datetime) -> tuple[str, ...]:
    """Rule 20: two on call, or one with the manager on the telephone."""
    names = [each.name for each in tonight(kitchen, at)]
    names += [each.name for each in kitchen.hands if each.role == "manager"]
    return tuple(dict.fromkeys(names))[:PAIR]


def cold_places(kitchen: Kitchen) -> Iterator[tuple[str, int]]:
    """Where part-dry racks may be kept, and how many grams: the part-dry shelf, then freezers."""
    store = kitchen.cold_store
    yield store.id, store.part_dry_crates * store.crate_g
    for freezer in kitchen.freezers:
        yield freezer.id, freezer.holds_g


def ways(house: House, what: Stopped) -> Iterator[Way]:
    """Every place open to a charge's racks before its clock asks a person: the soonest run in each
    dryer, shelf, freezer."""
    until, soonest = what.limit, dict[str, Slot]()
    for slot in house.slots(what):
        if slot.dryer.id not in soonest or slot.start < soonest[slot.dryer.id].start:
            soonest[slot.dryer.id] = slot
    for slot in soonest.values():
        racks = min(what.waiting, slot.dryer.racks)
        if slot.start > until or not racks:
            continue
        yield Way("dryer", slot.dryer.id, racks, slot.start, slot.end, until)
    store = house.asked.kitchen.cold_store.id
    for station_id, holds in cold_places(house.asked.kitchen):
        one = part_g(_empty(what), what.card.water_in_percent) / what.racks
        racks = min(what.waiting, int(holds / max(1, one)))
        since = house.hands.there + TO_SHELF
        if since > until or not racks:
            continue
        if station_id == store:
            yield Way("part-dry shelf", station_id, racks, since, None, until)
        else:
            yield Way("freezer", station_id, racks, since, None, until)


def _empty(what: Stopped) -> PartLot:
    return PartLot(
        what.note.id,
        "",
        Racks(what.racks),
        what.prepared_g,
        what.station_id,
        what.at,
        what.left_s,
        what.water_percent,
    )
