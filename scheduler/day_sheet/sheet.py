"""What stands on a day sheet: one value that page, JSON, terminal and paper all show.

Every instant here is by the kitchen's own clock (aware, in its zone): the sheet is read there.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

Act = Literal[
    "weigh in",
    "wash",
    "cut",
    "steam",
    "chill",
    "fill",
    "start",
    "end",
    "unload",
    "wash-down",
    "dry check",
    "pack",
    "down",
    "up",
]
DOOR = "Door"


@dataclass(frozen=True, slots=True)
class LotLabel:
    """How a lot, or a charge of it, is called on paper."""

    code: str
    crop: str
    farm: str
    grower: str


@dataclass(frozen=True, slots=True)
class LoadTime:
    """One basket in a steamer, numbered through the charge: in at start, lid up at steamed."""

    number: int
    start: datetime
    steamed: datetime


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to do and tick. changes_dryer: it starts, ends or empties a run."""

    at: datetime
    until: datetime | None
    station_id: str
    act: Act
    lots: tuple[LotLabel, ...]
    amount: str
    who: tuple[str, ...]
    remark: str
    loads: tuple[LoadTime, ...] = ()
    sample_racks: tuple[int, ...] = ()

    @property
    def changes_dryer(self) -> bool:
        return self.act in ("start", "end", "unload", "wash-down")


@dataclass(frozen=True, slots=True)
class Visit:
    """A stretch in the house, and what for."""

    start: datetime
    end: datetime
    what: str


@dataclass(frozen=True, slots=True)
class InTheHouse:
    """Who is in the kitchen that day: a hand on shift, or a grower (farm says which)."""

    name: str
    farm: str
    people: int
    visits: tuple[Visit, ...]


@dataclass(frozen=True, slots=True)
class Band:
    """Racks first..last (from 1, both counted) of one charge in a run."""

    first: int
    last: int
    lot: LotLabel
    group: str


@dataclass(frozen=True, slots=True)
class RackMap:
    """What lies where in a dryer during one run."""

    dryer_id: str
    racks: int
    start: datetime
    end: datetime
    released: datetime
    bands: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class NightRun:
    """A dryer not empty overnight; cool_hold_until is None where it dries past the opening."""

    dryer_id: str
    lots: tuple[LotLabel, ...]
    ends: datetime
    cool_hold_until: datetime | None


@dataclass(frozen=True, slots=True)
class OnCallTonight:
    name: str
    telephone: str


@dataclass(frozen=True, slots=True)
class NightSheet:
    """From closing to the next opening: what runs, in order of end, and who may be rung."""

    closes: datetime
    opens: datetime
    runs: tuple[NightRun, ...]
    on_call: tuple[OnCallTonight, ...]


@dataclass(frozen=True, slots=True)
class PapersShort:
    """A lot of the day that may be pencilled, never firm (rule 15), and what is missing."""

    lot: LotLabel
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NoPlace:
    """A note due at the door that day that has no place, or not for all of it."""

    lot: LotLabel
    amount: str
    reason: str


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind and where; source is the publication behind it, or "common practice"."""

    where: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class DaySheet:
    """The day in time order. rules is the rule book: under "simple" only dryers are planned."""

    kitchen: str
    place: str
    week: str
    day: date
    state: str
    rules: str
    staffed: tuple[tuple[datetime, datetime], ...]
    in_the_house: tuple[InTheHouse, ...]
    lines: tuple[Line, ...]
    rack_maps: tuple[RackMap, ...]
    night: NightSheet | None
    papers_short: tuple[PapersShort, ...]
    no_place: tuple[NoPlace, ...]
    cautions: tuple[Caution, ...]
