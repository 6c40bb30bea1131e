"""Rule 20: part-lots are the racks of a stopped charge and start new runs while hands are there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
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
from scheduler.verify.started import as_part_lot, as_recorded
from scheduler.verify.wording import lasting

_PAIR = 2
_NOON = 12
_HAIR = 1e-9  # degrees


@dataclass(frozen=True, slots=True)
class Left:
    """A part-lot of which it is known what stopped.

    dried_s: in all dryers until then. had: racks of its note that were in there. run: the run on
    record that stopped; before: the part-lot that was stopped again. One of them is there.
    """

    part: PartLot
    note: HarvestNote
    card: ProcessCard
    dried_s: int
    had: int
    run: StartedRun | None = None
    charge: StartedCharge | None = None
    before: Left | None = None

    def fault(self, rule: int, message: str) -> Fault:
        return Fault(rule, f"{self.part.code} {message}")


def lefts(reading: Reading) -> tuple[Left, ...]:
    """The plan's part-lots as far as something stopped under them: the dryer of a run on record,
    or what a part-lot before them dried on in or was kept cold in."""
    made: list[Left] = []
    stops = {(each.station_id, each.stopped) for each in reading.asked.happened.outages}
    for part in sorted(reading.plan.part_lots, key=lambda each: each.stopped):
        if (part.station_id, part.stopped) in stops:
            found = next(_of(reading, part), None) or _again(reading, part, made)
            made += [] if found is None else [found]
    return tuple(made)


def ended(left: Left, every: Iterable[Left]) -> datetime | None:
    """When what held it stopped, where the plan has what was left; else None."""
    stops = (each.part.stopped for each in every if each.before is left)
    return min(stops, default=None)


def _of(reading: Reading, part: PartLot) -> Iterator[Left]:
    notes = {note.id: note for note in reading.asked.notes}
    cards = {card.id: card for card in reading.asked.cards}
    note = notes.get(part.note_id)
    for run in reading.asked.happened.runs if note and note.card_id in cards else ():
        assert note
        under = run.dryer_id == part.station_id and _first_stop(reading, run) == part.stopped
        own = (each for each in run.charges if each.note_id == part.note_id)
        for charge in own if under and as_part_lot(reading, run) is None else ():
            dried = int((part.stopped - run.start).total_seconds())
            card = cards[note.card_id]
            yield Left(part, note, card, dried, charge.racks, run=run, charge=charge)


def _first_stop(reading: Reading, run: StartedRun) -> datetime | None:
    """When its dryer stopped under it; later stops are under what dries on there."""
    stops = (
        each.stopped
        for each in reading.asked.happened.outages
        if each.station_id == run.dryer_id and run.start <= each.stopped < run.end
    )
    return min(stops, default=None)


def _again(reading: Reading, part: PartLot, made: list[Left]) -> Left | None:
    """Of its own letter if there is one; else of the one that has dried least."""
    same = [each for each in made if each.part.note_id == part.note_id]
    inside = [each for each in same if _was_in(as_recorded(reading, each.part), part)]
    own = [each for each in inside if each.part.letter == part.letter] or inside
    if not own:
        return None
    before = min(own, key=lambda each: each.dried_s)
    run = as_recorded(reading, before.part).dries_on
    dried = max(0, int((part.stopped - run.start).total_seconds())) if run else 0
    had = sum(each.part.racks for each in inside)
    return Left(part, before.note, before.card, before.dried_s + dried, had, before=before)


def _was_in(before: PartLot, part: PartLot) -> bool:
    held, run = before.held, before.dries_on
    if run and run.dryer_id == part.station_id and run.start <= part.stopped < run.end:
        return True
    if held is None or held.station_id != part.station_id or part.stopped < held.since:
        return False
    return held.until is None or part.stopped <= held.until


def check(reading: Reading) -> Iterator[Fault]:
    """What they are of, that none of its racks is missing, and how they dry on."""
    known = lefts(reading)
    for part in reading.plan.part_lots:
        if all(each.part is not part for each in known):
            message = f"{part.code} is of no charge that was drying when its dryer stopped"
            yield Fault(20, message)
    yield from _all_racks(known)
    for each in known:
        if each.part.dries_on is not None and ended(each, known) is None:
            yield from _climate(reading, each, each.part.dries_on)
            yield from _ends(reading, each, each.part.dries_on)
        yield from _somebody_there(reading, each)


def _all_racks(known: tuple[Left, ...]) -> Iterator[Fault]:
    racks: Counter[tuple[str, str, datetime]] = Counter()
    for each in known:
        racks[_stop(each)] += each.part.racks
    first = {_stop(each): each for each in known}
    for key, each in first.items():
        if racks[key] != each.had:
            yield each.fault(20, f"and its like hold {racks[key]} racks; the charge had {each.had}")


def _stop(left: Left) -> tuple[str, str, datetime]:
    return left.part.note_id, left.part.station_id, left.part.stopped


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
    needs, has = left.card.drying_s - left.dried_s, (run.end - run.start).total_seconds()
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
    """At night two are named who may be rung then, or one and the manager on the telephone. What is
    done already is not asked about."""
    part, now = left.part, reading.asked.happened.now
    moved = [each.since for each in (part.held,) if each]
    moved += [each.start for each in (part.dries_on,) if each]
    for at in moved:
        if at < part.stopped:
            yield left.fault(20, f"is moved {reading.say.at(at)}, before its dryer stopped")
        elif now and (at - now).total_seconds() < GRID:  # facts are raised to the five-minute marks
            continue
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
