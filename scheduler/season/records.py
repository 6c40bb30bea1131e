"""The raw records of a period, week by week: what was posted, and what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, Week, local_instant
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.units import Grams


@dataclass(frozen=True, slots=True)
class Checked:
    """One dry check: when, of which run, the worst readings, and what the person named decided."""

    at: datetime
    run_id: str
    decision: Literal["pass", "hold"]
    by: str
    water_activity: float
    moisture_percent: float


@dataclass(frozen=True, slots=True)
class Taken:
    """Bags that somebody took."""

    to: str
    bags: int
    at: datetime


@dataclass(frozen=True, slots=True)
class LotRecord:
    """What came of a note at the door. bags: None until it is packed. told_g: what was told before
    it came, None where that is what its note still says."""

    note_id: str
    code: str
    came: datetime
    weighed_g: Grams
    by: str = ""
    bags: int | None = None
    packed: datetime | None = None
    checks: tuple[Checked, ...] = ()
    discarded_g: int = 0  # dried weight
    went_to: tuple[Taken, ...] = ()
    told_g: Grams | None = None

    @property
    def held(self) -> bool:
        """Whether a dry check sent it back at least once."""
        return any(each.decision == "hold" for each in self.checks)


@dataclass(frozen=True, slots=True)
class Gone:
    """A note with a place that was let go by its grower, or whose grower did not come."""

    note_id: str
    how: Literal["let go", "no-show"]
    at: datetime


@dataclass(frozen=True, slots=True)
class Posted:
    """One plan as it was posted, with what it answers."""

    asked: Asked
    plan: Plan


@dataclass(frozen=True, slots=True)
class Ran:
    """One run as it is counted: as it is on record where it is, else as it was posted.

    posted: as the plan had it, None where none did. again: racks that a dry check sent back.
    """

    run: Run
    posted: Run | None
    on_record: bool
    again: bool = False

    @property
    def seconds(self) -> int:
        """Drying alone: from run start to the end of drying."""
        return Span(self.run.start, self.run.end).seconds

    @property
    def rack_s(self) -> int:
        return self.run.racks * self.seconds


@dataclass(frozen=True, slots=True)
class WeekRecord:
    """A week of the period. posted: every plan posted for it, the last in force; ran: each run
    once, in order of start; expected: runs, or parts of them, that were posted and are neither on
    record nor past, or whose lots did not come. Those are neither counted nor billed."""

    posted: tuple[Posted, ...]
    ran: tuple[Ran, ...]
    lots: tuple[LotRecord, ...] = ()
    outages: tuple[Outage, ...] = ()
    gone: tuple[Gone, ...] = ()
    expected: tuple[Ran, ...] = ()

    @property
    def asked(self) -> Asked:
        return self.posted[-1].asked

    @property
    def plan(self) -> Plan:
        return self.posted[-1].plan

    @property
    def kitchen(self) -> Kitchen:
        return self.asked.kitchen

    @property
    def week(self) -> Week:
        return self.asked.week

    def notes(self) -> Iterator[HarvestNote]:
        """Those that asked for a place to the end: who went is not among them."""
        gone = {each.note_id for each in self.gone}
        return (note for note in self.asked.notes if note.id not in gone)

    def lot_of(self, note_id: str) -> LotRecord | None:
        return next((lot for lot in self.lots if lot.note_id == note_id), None)

    def charges(self, *, again: bool = True) -> Iterator[tuple[Run, Charge]]:
        """Every charge of every run, as it happened; again: what was dried again, too."""
        return (
            (ran.run, charge)
            for ran in self.ran
            if again or not ran.again
            for charge in ran.run.charges
        )

    def to_come(self) -> Iterator[Charge]:
        """Charges with a place that is neither on record nor past."""
        return (charge for each in self.expected for charge in each.run.charges)


@dataclass(frozen=True, slots=True)
class Season:
    """The records of a period, its weeks in order. first, last: days, both counted. told: when the
    records were read, in a period that is not over; None where all of it has been told."""

    name: str
    first: date
    last: date
    weeks: tuple[WeekRecord, ...]
    invented: bool = False
    seed: int | None = None
    notes: tuple[str, ...] = ()  # what a reader must know of these records
    costs: int | None = None  # what the kitchen paid in the period, minor units, where told
    told: datetime | None = None

    @property
    def known_until(self) -> datetime:
        """What lasts still has lasted so long."""
        end = self.span.end
        return end if self.told is None else min(end, self.told)

    @property
    def kitchen(self) -> Kitchen:
        """As it is in the last week."""
        return self.weeks[-1].kitchen

    @property
    def zone(self) -> ZoneInfo:
        return self.kitchen.zone

    @property
    def span(self) -> Span:
        return between(self.first, self.last, self.zone)

    def open_days(self) -> tuple[date, ...]:
        """Days of the period on which the kitchen was staffed, by each week's own hours."""
        found = (
            day
            for week in self.weeks
            for day in week.week.days
            if self.first <= day <= self.last and week.kitchen.staffed_spans((day,))
        )
        return tuple(sorted(set(found)))


def between(first: date, last: date, zone: ZoneInfo) -> Span:
    """From the first day's midnight to the end of the last, by the kitchen's clock."""
    after = last + timedelta(days=1)
    return Span(local_instant(first, time(0), zone), local_instant(after, time(0), zone))


def whole_year(season: Season) -> Span:
    """The calendar year of the season's last week, by the kitchen's clock: W53 of 2026 ends in
    January, and is 2026's."""
    year = Week.of(season.last).year
    return between(date(year, 1, 1), date(year, 12, 31), season.zone)
