"""Rule 20: part-lots are the racks of a stopped charge and start new runs while hands are there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer
from scheduler.domain.outage import StartedCharge, StartedRun
from scheduler.domain.part_lot import DriesOn, PartLot
from scheduler.domain.process_card import ProcessCard
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.units import GRID
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.wording import lasting

_PAIR = 2
_NOON = 12
_HAIR = 1e-9  # degrees


@dataclass(frozen=True, slots=True)
class Left:
    """A part-lot whose stopped charge is known."""

    part: PartLot
    note: HarvestNote
    card: ProcessCard
    run: StartedRun
    charge: StartedCharge

    def fault(self, rule: int, message: str) -> Fault:
        return Fault(rule, f"{self.part.code} {message}")


def lefts(reading: Reading) -> Iterator[Left]:
    """The plan's part-lots as far as they are of a charge in a dryer that stopped under it."""
    for part in reading.plan.part_lots:
        found = next(_of(reading, part), None)
        if found is not None:
            yield found


def _of(reading: Reading, part: PartLot) -> Iterator[Left]:
    stops = {(each.station_id, each.stopped): each for each in reading.asked.happened.outages}
    if (part.dryer_id, part.stopped) not in stops:
        return
    notes = {note.id: note for note in reading.asked.notes}
    cards = {card.id: card for card in reading.asked.cards}
    for run in reading.asked.happened.runs:
        if run.dryer_id == part.dryer_id and run.start <= part.stopped < run.end:
            for charge in run.charges:
                note = notes.get(charge.note_id)
                if charge.note_id == part.note_id and note and note.card_id in cards:
                    yield Left(part, note, cards[note.card_id], run, charge)


def check(reading: Reading) -> Iterator[Fault]:
    """What they are of, that none of its racks is missing, and how they dry on."""
    known = tuple(lefts(reading))
    for part in reading.plan.part_lots:
        if all(each.part is not part for each in known):
            message = f"{part.code} is of no charge that was drying when its dryer stopped"
            yield Fault(20, message)
    yield from _all_racks(known)
    for each in known:
        if each.part.dries_on is not None:
            yield from _climate(reading, each, each.part.dries_on)
            yield from _ends(reading, each, each.part.dries_on)
        yield from _somebody_there(reading, each)


def _all_racks(known: tuple[Left, ...]) -> Iterator[Fault]:
    racks: Counter[tuple[str, datetime]] = Counter()
    for each in known:
        racks[each.part.note_id, each.part.stopped] += each.part.racks
    first = {(each.part.note_id, each.part.stopped): each for each in known}
    for key, each in first.items():
        if racks[key] != each.charge.racks:
            had = each.charge.racks
            yield each.fault(20, f"and its like hold {racks[key]} racks; the charge had {had}")


def _climate(reading: Reading, left: Left, run: DriesOn) -> Iterator[Fault]:
    dryer = _dryer(reading, run.dryer_id)
    if dryer is None:
        yield left.fault(11, f"dries on in {run.dryer_id}, which the kitchen does not have")
        return
    if left.card.group not in dryer.groups:
        yield left.fault(6, f"dries on in {dryer.id}, which does not take {left.card.group}")
    tolerance = 0 if reading.rules.easier else left.card.tolerance_c
    off = abs(run.set_point_c - left.card.set_point_c) > tolerance + _HAIR
    if off or not dryer.coolest_c <= run.set_point_c <= dryer.hottest_c:
        heat = reading.say.heat(run.set_point_c)
        yield left.fault(6, f"dries on at {heat}, which its card or {dryer.id} does not bear")
    dried = (left.part.stopped - left.run.start).total_seconds()
    needs, has = left.card.drying_s - dried, (run.end - run.start).total_seconds()
    if has < needs:
        yield left.fault(6, f"dries on for {lasting(max(0, has))}; {lasting(needs)} were left")


def _dryer(reading: Reading, dryer_id: str) -> Dryer | None:
    return next((each for each in reading.asked.kitchen.dryers if each.id == dryer_id), None)


def _ends(reading: Reading, left: Left, run: DriesOn) -> Iterator[Fault]:
    """Rules 1 and 3."""
    if any(int(each.timestamp()) % GRID for each in (run.start, run.end)):
        yield left.fault(1, "dries on off the five-minute marks")
    if reading.staffed.hold(run.end):
        return
    opening = reading.staffed.next_opening(run.end)
    most = reading.asked.kitchen.limits.cool_hold_most_s
    if opening is None or (opening - run.end).total_seconds() > most:
        yield left.fault(3, f"dries on until {reading.say.at(run.end)}; nobody comes in time")
    dryer = _dryer(reading, run.dryer_id)
    if dryer and not dryer.runs_unattended:
        yield left.fault(3, f"dries on in {dryer.id}, which may not run unattended")


def _somebody_there(reading: Reading, left: Left) -> Iterator[Fault]:
    """At night two are named who may be rung then, or one and the manager on the telephone."""
    part = left.part
    moved = [each.since for each in (part.held,) if each]
    moved += [each.start for each in (part.dries_on,) if each]
    for at in moved:
        if at < part.stopped:
            yield left.fault(20, f"is moved {reading.say.at(at)}, before its dryer stopped")
        elif not _staffed(reading, at) and not _on_call(reading, part, at):
            told = "two on call, or one and the manager, are not named for it"
            yield left.fault(20, f"is moved {reading.say.at(at)} in unstaffed hours; {told}")


def _staffed(reading: Reading, at: datetime) -> bool:
    return any(span.start <= at <= span.end for span in reading.asked.staffed())


def _on_call(reading: Reading, part: PartLot, at: datetime) -> bool:
    kitchen = reading.asked.kitchen
    local = at.astimezone(kitchen.zone)
    day = (local - timedelta(days=local.hour < _NOON)).weekday()
    rota = {each.name for each in kitchen.on_call if each.weekday == day}
    managers = {each.name for each in kitchen.hands if each.role == "manager"}
    named = set(part.hands)
    in_time = at <= part.stopped + timedelta(seconds=MOST_EXPOSED)
    if rota <= managers and named == rota:  # the manager herself is the one on call
        return in_time and bool(rota)
    return in_time and bool(named & rota) and len(named & (rota | managers)) >= _PAIR
