"""What has happened: never changed, only added to. Outages are mended when a station returns."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from scheduler.domain.clock import Week
from scheduler.domain.outage import Outage, StartedRun

HappeningKind = Literal[
    "at the door",
    "run started",
    "start corrected",
    "on racks",
    "run ended",
    "unloaded",
    "off racks",
    "dry check",
    "back to dryer",
    "discarded",
    "corrective action",
    "night log",
    "packed",
    "collected",
    "ticked",
]


@dataclass(frozen=True, slots=True)
class Happening:
    """One thing that happened, who did it, and what it happened to: a lot code or a dryer."""

    kind: HappeningKind
    at: datetime
    by: str
    week: Week
    subject: str
    told: dict[str, Any]
    run: StartedRun | None = None  # of "run started"
    number: int = 0


@dataclass(frozen=True, slots=True)
class OutageEntry:
    """A station that stopped, to the second, as plans tell it, and when it came back."""

    station_id: str
    stopped: datetime
    back: datetime | None
    cause: str
    by: str
    number: int = 0
    version: int = 1

    def __post_init__(self) -> None:
        object.__setattr__(self, "stopped", self.stopped.replace(microsecond=0))

    @property
    def outage(self) -> Outage:
        return Outage(self.station_id, self.stopped, self.back, self.cause)
