"""What an emergency makes of a charge: part-lots with their own dryness, clock and way on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from scheduler.units import Grams, Racks, Seconds


@dataclass(frozen=True, slots=True)
class DriesOn:
    """The run in which a part-lot dries on; its hours are those that were left, or more."""

    dryer_id: str
    set_point_c: float
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class Held:
    """Kept between 0 and 5 C on the part-dry shelf of a cold store, or in a freezer. until is None
    while nobody knows."""

    station_id: str
    since: datetime
    until: datetime | None


@dataclass(frozen=True, slots=True)
class PartLot:
    """Racks that a stopped dryer left part-dry (rules 19 and 20).

    dryer_id, stopped: which dryer and when. left_s: drying hours left by the card. water_percent:
    likely moisture, wet basis. stood_s: cut and warm before its run, None where that is not known.
    hands: who works on it outside staffed hours. With neither held nor dries_on a person decides.
    """

    note_id: str
    letter: str
    racks: Racks
    prepared_g: Grams
    dryer_id: str
    stopped: datetime
    left_s: Seconds
    water_percent: float
    stood_s: Seconds | None = None
    held: Held | None = None
    dries_on: DriesOn | None = None
    hands: tuple[str, ...] = ()

    @property
    def code(self) -> str:
        return f"{self.note_id} {self.letter}".strip()

    @property
    def in_control(self) -> datetime | None:
        """When it is cold or dries again; None while neither is planned."""
        starts = [each.since for each in (self.held,) if each]
        starts += [each.start for each in (self.dries_on,) if each]
        return min(starts, default=None)

    def exposed_s(self, at: datetime) -> Seconds:
        """The clock of exposure at an instant (rule 19): what it stood before its run, and all time
        since the stop that it is neither held nor drying as planned here."""
        warm = at - self.stopped
        if self.held:
            until = min(at, self.held.until or at)
            warm -= max(timedelta(0), until - self.held.since)
        if self.dries_on:
            warm -= max(timedelta(0), min(at, self.dries_on.end) - self.dries_on.start)
        return Seconds(max(0, int(warm.total_seconds())) + (self.stood_s or 0))
