"""Part-lots as the night log has them: what is cold or drying stays, the rest is proposed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.part_lot import (
    NEVER,
    Discarded,
    DriesOn,
    GoesOn,
    Held,
    PartLot,
    stopped_again,
)
from scheduler.emergency.again import open_again
from scheduler.emergency.hands import up
from scheduler.emergency.proposal import Proposal, cold_places, night_crew
from scheduler.emergency.slots import House
from scheduler.emergency.stopped import Stopped
from scheduler.exposure_clock import part_clock
from scheduler.units import Grams, Racks, Seconds


@dataclass(frozen=True, slots=True)
class Logged:
    """What is written of a part-lot: since when (and until when) it is cold, since when it dries
    again, None where it is not; over the limit, a person decides. warm: it was seen warm last.
    discarded, goes_on: a named person has said so. again_s: as on a part-lot. stopped: the stop
    whose log it is, None for any."""

    note_id: str
    letter: str
    cold: datetime | None
    out: datetime | None
    drying: datetime | None
    over: bool
    warm: bool = False
    discarded: Discarded | None = None
    stopped: datetime | None = None
    again_s: Seconds = NEVER
    goes_on: GoesOn | None = None

    @property
    def undecided(self) -> bool:
        """Over the limit, and nobody has said that it goes on."""
        return self.over and self.goes_on is None

    @property
    def since(self) -> datetime | None:
        return self.cold or self.drying

    @property
    def in_control(self) -> bool:
        return self.drying is not None or (self.cold is not None and self.out is None)


@dataclass(slots=True)
class AsLogged:
    """base: what was proposed when the first of them was moved, by code: racks, dryer and shelf are
    taken from there, for the log does not tell them (our reading)."""

    house: House
    base: Mapping[str, PartLot]
    made: list[PartLot] = field(default_factory=list)

    def of(self, charges: Iterable[Stopped], logged: Iterable[Logged]) -> tuple[PartLot, ...]:
        """What is in control first: the rest is proposed beside it."""
        told = sorted(logged, key=lambda each: (not each.in_control, each.letter))
        own = [(what, [each for each in told if is_of(each, what)]) for what in charges]
        for what, lines in sorted(own, key=lambda each: not any(one.in_control for one in each[1])):
            for each, part in self._shares(what, lines):
                self.made.append(self._on(each, part))
        return tuple(self.made)

    def _shares(self, what: Stopped, own: list[Logged]) -> Iterator[tuple[Logged, Stopped]]:
        """Its racks among its part-lots: as proposed, evenly where other ones were made."""
        codes = [f"{each.note_id} {each.letter}".strip() for each in own]
        racks = [self.base[code].racks for code in codes if code in self.base]
        if sum(racks) != what.racks or len(racks) != len(own):
            racks = [Racks((what.racks + n) // len(own)) for n in range(len(own))]
        left = what.prepared_g
        for place, (each, some) in enumerate(zip(own, racks, strict=True), 1):
            weight = Grams(what.prepared_g * some // what.racks) if place < len(own) else left
            left = Grams(left - weight)
            yield each, replace(what, racks=some, prepared_g=weight)

    def _on(self, each: Logged, what: Stopped) -> PartLot:
        proposal, known = Proposal(self.house, made=list(self.made)), self._base(each)
        on_record = known and known.dries_on in {run for _, run in what.moved}
        if known and on_record and not (each.since or each.warm or each.discarded):
            part = proposal.one(what, each.letter, lost=True)
            return replace(part, dries_on=known.dries_on, hands=known.hands)
        if each.discarded:
            return replace(proposal.one(what, each.letter, lost=True), discarded=each.discarded)
        if each.undecided or not each.in_control:
            return proposal.one(what, each.letter, lost=each.over)
        part = proposal.one(what, each.letter, lost=True)
        held = self._held(each)
        part = replace(part, held=held, again_s=each.again_s, goes_on=each.goes_on)
        if each.drying is not None:
            part = replace(part, dries_on=self._dries(each, what))
        elif part.held is not None:
            counted = replace(what, stood_s=Seconds(what.stood + each.again_s))
            part = proposal.later(counted, part)
        at = each.since
        staffed = at is None or any(span.start <= at <= span.end for span in self._staffed)
        return part if staffed else replace(part, hands=self._crew(what))

    @property
    def _staffed(self) -> tuple[Span, ...]:
        return self.house.asked.staffed()

    def _crew(self, what: Stopped) -> tuple[str, ...]:
        return night_crew(self.house.asked.kitchen, what.at)

    def _held(self, each: Logged) -> Held | None:
        if each.cold is None:
            return None
        known = self._base(each)
        places = [known.held.station_id] if known and known.held else []
        places += [place for place, _ in cold_places(self.house.asked.kitchen)]
        open_then = (place for place in places if not self._down(place, each.cold))
        station_id = next(open_then, places[0])
        return Held(station_id, _second(each.cold), up(each.out) if each.out else None)

    def _down(self, station_id: str, at: datetime) -> bool:
        return any(
            each.station_id == station_id
            and each.stopped <= at
            and (not each.back or at < each.back)
            for each in self.house.asked.happened.outages
        )

    def _dries(self, each: Logged, what: Stopped) -> DriesOn | None:
        """In its own dryer if that was back by then, else where it was proposed."""
        assert each.drying is not None
        known, start = self._base(each), up(each.drying)
        back = any(
            stop.station_id == what.station_id and stop.back and stop.back <= each.drying
            for stop in self.house.asked.happened.outages
            if stop.stopped == what.at
        )
        proposed = known.dries_on.dryer_id if known and known.dries_on else ""
        dryer_id = what.station_id if back and what.station_id == what.dryer.id else proposed
        end = up(start + timedelta(seconds=what.left_s + each.again_s))
        return DriesOn(dryer_id, what.set_point_c, start, end) if dryer_id else None

    def _base(self, each: Logged) -> PartLot | None:
        return self.base.get(f"{each.note_id} {each.letter}".strip())


def _second(at: datetime) -> datetime:
    """Whole, in UTC: on the five-minute marks it could be over a limit that it was under."""
    return datetime.fromtimestamp(int(at.timestamp()), tz=UTC)


def is_of(each: Logged, what: Stopped) -> bool:
    """Whether a line is of those racks: of a charge any letter, of a part-lot its own."""
    letter = what.was.letter if what.was else each.letter
    return (each.note_id, each.letter) == (what.note.id, letter)


def as_it_went(
    asked: Asked, parts: tuple[PartLot, ...], station_id: str, logged: Iterable[Logged]
) -> Iterator[PartLot]:
    """Part-lots of a plan that were left there and go the way planned, but at other times."""
    for part, own in _left_there(parts, station_id, logged):
        went = _went(asked, part, own)
        if went is None or went == part:
            continue
        if stopped_again(went, parts) == stopped_again(part, parts):
            yield went


def otherwise(
    asked: Asked, parts: tuple[PartLot, ...], station_id: str, logged: Iterable[Logged]
) -> Iterator[Stopped]:
    """Those that the log has warm, discarded, or on another way since."""
    for part, own in _left_there(parts, station_id, logged):
        planned = part.held is not None or part.dries_on is not None
        astray = own.warm or _went(asked, part, own) is None
        is_said = own.discarded or (own.goes_on and own.in_control and not planned)
        if is_said or (astray and planned and stopped_again(part, parts) is None):
            yield open_again(asked, parts, part)


def _left_there(
    parts: tuple[PartLot, ...], station_id: str, logged: Iterable[Logged]
) -> Iterator[tuple[PartLot, Logged]]:
    told = list(logged)
    for part in parts:
        known = (each for each in told if (each.note_id, each.letter) == part.key[:2])
        own = next((each for each in known if each.stopped in (None, part.stopped)), None)
        if own is not None and part.station_id == station_id and not part.discarded:
            yield part, own


def _went(asked: Asked, part: PartLot, own: Logged) -> PartLot | None:
    """At the times that the log has; None where that is another way, or one to the limit."""
    held, run = part.held, part.dries_on
    if not own.in_control:
        return part
    if (own.cold is None) != (held is None) or (own.drying is not None and run is None):
        return None
    if held and own.cold:
        held = Held(held.station_id, up(own.cold), up(own.out) if own.out else held.until)
    if run and own.drying:
        start = up(own.drying)
        run = replace(run, start=start, end=start + (run.end - run.start))
    went = replace(part, held=held, dries_on=run, goes_on=own.goes_on or part.goes_on)
    if went != part and (own.undecided or not _may_go(went, asked.happened.now)):
        return None
    staffed = asked.staffed()
    by_night = not all(any(s.start <= at <= s.end for s in staffed) for at in _moves(went))
    if went != part and by_night and not part.hands:
        return replace(went, hands=night_crew(asked.kitchen, part.stopped))
    return went


def _moves(part: PartLot) -> Iterator[datetime]:
    yield from (each.since for each in (part.held,) if each)
    yield from (each.start for each in (part.dries_on,) if each)


def _may_go(part: PartLot, now: datetime | None) -> bool:
    """Its times follow each other, and what is still to come is within the limit."""
    held, run = part.held, part.dries_on
    out = held.until if held else None
    if held and out and (out < held.since or (run and run.start < out)):
        return False
    if run is None or now is None or run.start <= now or part.goes_on:
        return True
    return not part_clock(part, run.start).over
