"""Runs that had started before the plan: when their dryer is released, and what they hold."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from scheduler.domain.outage import StartedRun
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


def stop_of(reading: Reading, run: StartedRun) -> datetime:
    """When it stops drawing power: at its end, or when its dryer stopped before."""
    stops = (
        outage.stopped
        for outage in reading.asked.happened.outages
        if outage.station_id == run.dryer_id and outage.stopped > run.start
    )
    return min((run.end, *stops))


def started_groups(reading: Reading, run: StartedRun) -> frozenset[str]:
    """The groups of its charges, as far as their notes and cards are known."""
    held = {charge.note_id for charge in run.charges}
    cards = {note.card_id for note in reading.asked.notes if note.id in held}
    return frozenset(card.group for card in reading.asked.cards if card.id in cards)
