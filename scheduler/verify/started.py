"""Runs that had started before the plan: when their dryer is released, and what they hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from scheduler.domain.outage import StartedRun
from scheduler.domain.part_lot import DriesOn, PartLot
from scheduler.verify.reading import Reading


def started_in(reading: Reading, dryer_id: str) -> Iterator[StartedRun]:
    """The runs that have started in that dryer."""
    return (run for run in reading.asked.happened.runs if run.dryer_id == dryer_id)


def release_of(reading: Reading, run: StartedRun) -> datetime:
    """End of drying or of its dryer, or the next opening where that is unstaffed."""
    end = stop_of(reading, run)
    if reading.staffed.hold(end):
        return end
    return reading.staffed.next_opening(end) or end


def stop_of(reading: Reading, run: StartedRun | DriesOn) -> datetime:
    """When it stops drawing power: at its end, or when its dryer stopped before."""
    stops = (
        outage.stopped
        for outage in reading.asked.happened.outages
        if outage.station_id == run.dryer_id and outage.stopped >= run.start
    )
    return min((run.end, *stops))


def started_groups(reading: Reading, run: StartedRun) -> frozenset[str]:
    """The groups of its charges, as far as their notes and cards are known."""
    held = {charge.note_id for charge in run.charges}
    cards = {note.card_id for note in reading.asked.notes if note.id in held}
    return frozenset(card.group for card in reading.asked.cards if card.id in cards)


def as_part_lot(reading: Reading, run: StartedRun) -> DriesOn | None:
    """What was planned for the part-lot that dried on in it: of its note, in its dryer, after the
    stop, the nearest; None where fresh racks went in."""
    held, best = {charge.note_id for charge in run.charges}, None
    for part in reading.plan.part_lots:
        on = part.dries_on
        if on is None or on.dryer_id != run.dryer_id or part.note_id not in held:
            continue
        if part.stopped < run.start and (best is None or _off(on, run) < _off(best, run)):
            best = on
    return best


def as_recorded(reading: Reading, part: PartLot) -> PartLot:
    """The same, drying on when it really did where that is on record; of several the first."""
    on = part.dries_on
    runs = [run for run in reading.asked.happened.runs if on and as_part_lot(reading, run) == on]
    if on is None or not runs:
        return part
    first = min(runs, key=lambda each: each.start)
    return replace(part, dries_on=replace(on, start=first.start, end=first.end))


def _off(on: DriesOn, run: StartedRun) -> float:
    return abs((on.start - run.start).total_seconds())
