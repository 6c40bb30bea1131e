"""Racks that need a way since something stopped under them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer
from scheduler.domain.part_lot import DriesOn, PartLot
from scheduler.domain.process_card import ProcessCard
from scheduler.process.drying import Conditions, Known, water_percent_after
from scheduler.process.exposure import exposure_left_s
from scheduler.units import HOUR, Grams, Racks, Seconds, ceil_div


@dataclass(frozen=True, slots=True)
class Stopped:
    """A charge whose dryer stopped under it, or a part-lot that has to be given a way again.

    dryer: whose racks they lie on. station_id, at: what stopped and when. left_s: of its card's
    drying hours, raised to whole hours, for the racks have to be warmed again (our reading).
    stood_s, stood_most_s: as on a part-lot. moved: racks of it that dry on elsewhere by what is on
    record, before any mend. was: the part-lot that it is already. out: since when
    that is out of the cold again, None where it is not.
    """

    note: HarvestNote
    card: ProcessCard
    racks: int
    prepared_g: Grams
    set_point_c: float
    dryer: Dryer
    station_id: str
    at: datetime
    left_s: Seconds
    water_percent: float
    stood_s: Seconds | None
    stood_most_s: Seconds
    moved: tuple[tuple[Racks, DriesOn], ...] = ()
    was: PartLot | None = None
    out: datetime | None = None

    @property
    def limit(self) -> datetime:
        """When the clock of exposure asks a person (rule 19)."""
        held = self.was.held if self.was else None
        if self.out is None or held is None:
            return self.at + timedelta(seconds=exposure_left_s(self.stood))
        before = int((held.since - self.at).total_seconds())
        return self.out + timedelta(seconds=exposure_left_s(Seconds(self.stood + before)))

    @property
    def code(self) -> str:
        return self.was.code if self.was else self.note.id

    @property
    def stood(self) -> Seconds:
        """What is counted of it, at the worst."""
        return self.stood_most_s if self.stood_s is None else self.stood_s

    @property
    def waiting(self) -> int:
        """Racks that nobody has put anywhere."""
        return self.racks - sum(racks for racks, _ in self.moved)

    @property
    def is_cold(self) -> bool:
        """It is kept cold all the same; only what comes after that is open."""
        held = self.was.held if self.was and self.was.stopped == self.at else None
        return held is not None and self.out is None


def hours_left(seconds: int) -> Seconds:
    return Seconds(ceil_div(seconds, HOUR) * HOUR)


def water_after(card: ProcessCard, dried_s: int) -> float:
    """Likely moisture after so much drying at its card's climate, percent of wet weight."""
    return water_percent_after(dried_s / HOUR, Known.of(card), Conditions(card.set_point_c)).likely
