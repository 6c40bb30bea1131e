"""What has already happened when a week is laid out: runs that started, stations that stopped."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from scheduler.units import Racks, Seconds


@dataclass(frozen=True, slots=True)
class StartedCharge:
    """Racks of a note inside a run that has started; the note asks for no further place.

    stood_s: cut and warm before it started; None where nobody wrote it down.
    """

    note_id: str
    racks: Racks
    stood_s: Seconds | None = None


@dataclass(frozen=True, slots=True)
class StartedRun:
    """A run that has started: it is never moved (rule 18). end is the planned end of drying."""

    dryer_id: str
    set_point_c: float
    start: datetime
    end: datetime
    charges: tuple[StartedCharge, ...]


@dataclass(frozen=True, slots=True)
class Outage:
    """A station that stopped; back is when it may be used again, None while nobody knows."""

    station_id: str
    stopped: datetime
    back: datetime | None
    cause: str = ""


@dataclass(frozen=True, slots=True)
class Happened:
    """Everything on record up to now. Empty for a week that has not begun."""

    now: datetime | None = None
    runs: tuple[StartedRun, ...] = ()
    outages: tuple[Outage, ...] = ()
