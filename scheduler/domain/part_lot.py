"""What an emergency makes of a charge: part-lots with their own dryness, clock and way on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from scheduler.units import HOUR, Grams, Racks, Seconds

# The longest waits of rule 9: cut to dryer, or cut to steam and steamed to dryer (house, demo).
LONGEST_STOOD = Seconds(3 * HOUR)
NEVER = Seconds(0)


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
class Discarded:
    """A named person has decided that the racks come to nothing, and when."""

    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class GoesOn:
    """A named person has decided that racks over the limit go on from where they were put, and
    when."""

    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class PartLot:
    """Racks that a stopped dryer, or a stopped cold place, left part-dry (rules 19 and 20).

    station_id, stopped: what stopped under them and when; what dries on or is kept cold and is
    stopped again is succeeded by another part-lot. left_s: drying hours left by the card.
    water_percent: likely moisture, wet basis. stood_s: warm before that, from the cut on; None
    where that is not known: then stood_most_s counts, the worst that can be. hands: who works on it
    outside staffed hours. again_s: warm once more since it was first in control, which the rest
    does not tell. goes_on: by whose decision it has a way over the limit of its clock. With neither
    held, dries_on nor discarded a person decides.
    """

    note_id: str
    letter: str
    racks: Racks
    prepared_g: Grams
    station_id: str
    stopped: datetime
    left_s: Seconds
    water_percent: float
    stood_s: Seconds | None = None
    held: Held | None = None
    dries_on: DriesOn | None = None
    hands: tuple[str, ...] = ()
    stood_most_s: Seconds = LONGEST_STOOD
    discarded: Discarded | None = None
    again_s: Seconds = NEVER
    goes_on: GoesOn | None = None

    @property
    def key(self) -> tuple[str, str, str, datetime]:
        """Which racks they are, whatever becomes of them."""
        return self.note_id, self.letter, self.station_id, self.stopped

    @property
    def code(self) -> str:
        return f"{self.note_id} {self.letter}".strip()

    @property
    def decided(self) -> Discarded | GoesOn | None:
        """What a named person has decided on it, and when."""
        return self.discarded or self.goes_on

    @property
    def in_control(self) -> datetime | None:
        """When it is cold or dries again; None while neither is planned."""
        starts = [each.since for each in (self.held,) if each]
        starts += [each.start for each in (self.dries_on,) if each]
        return min(starts, default=None)

    @property
    def stood(self) -> Seconds:
        """What is counted of the time before it stopped."""
        return self.stood_most_s if self.stood_s is None else self.stood_s

    def is_in(self, station_id: str, at: datetime) -> bool:
        """Whether it dries on or is kept cold there then, as planned here."""
        held, run = self.held, self.dries_on
        if run and run.dryer_id == station_id and run.start <= at < run.end:
            return True
        if held is None or held.station_id != station_id or at < held.since:
            return False
        return held.until is None or at <= held.until

    def until_stopped(self, at: datetime) -> PartLot:
        """The same up to an instant at which what held it stopped: what was to come falls away."""
        held, run = self.held, self.dries_on
        if run is not None and run.start > at:
            run = None
        if held is not None and (held.until is None or held.until > at):
            held = replace(held, until=at)
        return replace(self, held=held, dries_on=run)


def stopped_again(part: PartLot, parts: Iterable[PartLot]) -> datetime | None:
    """When what held it stopped, if one of these is what was left, of its own letter or else of one
    that no other racks there had; else None."""
    every = tuple(parts)
    left = [each for each in every if _may_be_left(each, part)]
    own = [each for each in left if each.letter == part.letter]
    free = (each for each in left if not any(_claims(other, each) for other in every))
    return min((each.stopped for each in own or free), default=None)


def _may_be_left(each: PartLot, part: PartLot) -> bool:
    later = each.note_id == part.note_id and each.stopped > part.stopped
    return later and part.is_in(each.station_id, each.stopped)


def _claims(other: PartLot, each: PartLot) -> bool:
    return other.letter == each.letter and _may_be_left(each, other)
