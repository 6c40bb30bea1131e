"""The night log of a stop: what was seen and done with its racks, the clock of each, decisions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from api.records.happened import OutageEntry
from api.services.night import STILL_TONIGHT, is_past, night_of
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.domain.part_lot import Discarded, GoesOn
from scheduler.dryer_down import Inside, inside
from scheduler.emergency import COLDEST_C, HOTTEST_C, Logged
from scheduler.exposure_clock import ExposureClock, Mark, Marked, clock_of
from scheduler.units import Seconds

Seen = Literal["noted", "into the cold", "back to dryer", "out in the warm", "found warm"]
SEEN: tuple[Seen, ...] = (
    "noted",
    "into the cold",
    "back to dryer",
    "out in the warm",
    "found warm",
)
MARKS: dict[str, Mark] = {
    "into the cold": "in control",
    "back to dryer": "in control",
    "out in the warm": "warm",
    "found warm": "found warm",
}
LETTERS = "AB"  # two part-lots of a charge at most; more is told in words


@dataclass(frozen=True, slots=True)
class Entry:
    """One line. part: of which racks, "" where of none. by: who wrote it, by name; decided_by:
    whose decision it is, "" where it is none; discards: to discard them; goes_on: that they go on
    from where they were put."""

    at: datetime
    by: str
    part: str
    seen: Seen | Literal["decided"]
    text: str
    celsius: float | None
    decided_by: str = ""
    discards: bool = False
    goes_on: bool = False


@dataclass(frozen=True, slots=True)
class PartClock:
    """code and racks: of the whole charge, or of the part-lot that it was before it stopped.
    stood_s: warm before that, None where not known. decided: what a named person said, once the
    limit was passed. logged: where its racks are. moved:
    somebody wrote that they were taken out or put somewhere."""

    code: str
    part: str
    crop: str
    racks: int
    stood_s: Seconds | None
    clock: ExposureClock
    decided: Entry | None
    logged: Logged
    is_part_lot: bool = False
    moved: bool = False

    @property
    def asks(self) -> bool:
        """Over the limit, and nobody has decided yet."""
        return self.clock.over and self.decided is None

    @property
    def is_due(self) -> bool:
        return self.decided is None and (self.clock.over or self.clock.runs)


@dataclass(frozen=True, slots=True)
class NightLog:
    """clocks: of those that ask first, then the least time left."""

    stop: OutageEntry
    entries: tuple[Entry, ...]
    clocks: tuple[PartClock, ...]
    at: datetime

    @property
    def unmoved(self) -> tuple[PartClock, ...]:
        """Of what came up again within a day: those that nobody wrote of, which may be inside
        still."""
        back = self.stop.back
        if back is None or not back <= self.at < back + STILL_TONIGHT:
            return ()
        return tuple(each for each in self.clocks if each.clock.runs and not each.moved)


def night_log(book: Book, doing: Doing, number: int) -> NightLog:
    """As it stands; who is on call reads that of tonight only, as the page of the stop."""
    stop, house = night_of(book, doing, number)
    if house is None:
        return NightLog(stop, (), (), doing.at)
    entries = tuple(each for each in _entries(book, stop) if each.at <= doing.at)
    found = tuple(
        _as_written(book, doing, stop, each)
        for each in inside(house.standing, stop.station_id, stop.stopped)
    )
    clocks = (
        _clock(each, part, entries, stop.stopped, at=doing.at)
        for each in found
        if each.ask_by is not None
        for part in _parts(each, entries)
    )
    ordered = sorted(clocks, key=lambda each: (not each.asks, -each.clock.exposed_s, each.part))
    return NightLog(stop, entries, tuple(ordered), doing.at)


def _as_written(book: Book, doing: Doing, stop: OutageEntry, found: Inside) -> Inside:
    """A part-lot with its clock as the log of the stop before has it, if somebody wrote of it."""
    part = found.part_lot
    for before in book.outages.where(station_id=part.station_id) if part else ():
        if part and before.stopped == part.stopped < stop.stopped:
            log = night_log(book, replace(doing, at=stop.stopped), before.number)
            own = (each for each in log.clocks if each.part == part.code and each.moved)
            for each in own:
                return found.having_stood(each.clock.exposed_s)
    return found


def recent_logs(book: Book, doing: Doing) -> tuple[NightLog, ...]:
    """Of all that is down, and of what came back within a day: racks may still stand warm outside.
    What somebody wrote of stays as long as one of its clocks runs or asks."""
    written = {each.told["outage"] for each in book.happenings.where(kind="night log")}
    stops = [each for each in book.outages.where() if each.stopped <= doing.at]
    recent = {each.number for each in stops if not is_past(each, doing.at)}
    found = (night_log(book, doing, each) for each in sorted(recent | written))
    return tuple(
        each
        for each in found
        if each.stop.number in recent or any(clock.is_due for clock in each.clocks)
    )


def _parts(found: Inside, entries: tuple[Entry, ...]) -> tuple[str, ...]:
    """Two part-lots as soon as somebody wrote of one of them; what is one already stays whole."""
    code = found.charge.code
    if found.part_lot:
        return (code,)
    halves = tuple(f"{code} {letter}" for letter in LETTERS)
    return halves if any(each.part in halves for each in entries) else (code,)


def _clock(
    found: Inside, part: str, entries: tuple[Entry, ...], stopped: datetime, *, at: datetime
) -> PartClock:
    code = found.charge.code
    own = [each for each in entries if each.part in (part, code)]
    known, decided = tuple(_seen(own)), _decided(own)
    marks = [Marked(at, MARKS[seen]) for at, seen in known]
    clock = clock_of(stopped, found.stood, marks, at)
    logged = _logged(code.partition(" ")[0], part, known, over=clock.over, decided=decided)
    return PartClock(
        code=code,
        part=part,
        crop=found.card.name,
        racks=found.charge.racks,
        stood_s=found.stood_s,
        clock=clock,
        decided=decided,
        logged=replace(logged, stopped=stopped),
        is_part_lot=found.part_lot is not None,
        moved=bool(known),
    )


def _seen(own: list[Entry]) -> Iterator[tuple[datetime, Seen]]:
    """What was done with the racks, in order of time. Between 5 and 57 C they are not cold,
    whatever they were thought to be (rule 19)."""
    cold = False
    for each in sorted(own, key=lambda each: each.at):
        warm = each.celsius is not None and COLDEST_C < each.celsius < HOTTEST_C
        if warm and (each.seen == "into the cold" or (cold and each.seen == "noted")):
            cold = False
            yield each.at, "found warm"
        elif each.seen in MARKS and each.seen != "decided":
            cold = each.seen == "into the cold"
            yield each.at, each.seen


def _decided(own: list[Entry]) -> Entry | None:
    """The last decision, if nothing was written after it by which they are warm again."""
    last = max((place for place, each in enumerate(own) if each.decided_by), default=None)
    if last is None or _warm(own) > _warm(own[:last]):
        return None
    return own[last]


def _warm(own: list[Entry]) -> int:
    return sum(MARKS[seen] != "in control" for _, seen in _seen(own))


def _logged(
    note_id: str,
    part: str,
    known: tuple[tuple[datetime, Seen], ...],
    *,
    over: bool,
    decided: Entry | None,
) -> Logged:
    stay = _stay(known)
    return Logged(
        note_id=note_id,
        letter=part[len(note_id) :].strip(),
        cold=stay.cold,
        out=stay.out,
        drying=stay.drying,
        over=over,
        warm=bool(known) and MARKS[known[-1][1]] != "in control",
        discarded=Discarded(decided.decided_by, decided.at.replace(microsecond=0))
        if decided and decided.discards
        else None,
        goes_on=GoesOn(decided.decided_by, decided.at.replace(microsecond=0))
        if decided and decided.goes_on
        else None,
        again_s=Seconds(int(stay.again.total_seconds())),
    )


@dataclass(slots=True)
class _Stay:
    """Since when the racks are in control, gaps in it left out. again: how long those were. gone:
    since when they are out of it again."""

    cold: datetime | None = None
    out: datetime | None = None
    drying: datetime | None = None
    gone: datetime | None = None
    again: timedelta = timedelta()

    def back(self, at: datetime, *, cold: bool) -> None:
        if self.gone and (cold or self.drying):
            self.again += at - self.gone
        if cold:
            self.cold, self.out, self.drying = self.cold or self.drying or at, None, None
        elif self.drying is None:
            self.drying, self.out = at, (self.gone or at) if self.cold else None
        self.gone = None


def _stay(known: Iterable[tuple[datetime, Seen]]) -> _Stay:
    """From the first time in control on: once found warm, all that was before counts as warm."""
    stay = _Stay()
    for at, seen in known:
        if seen == "found warm":
            stay = _Stay()
        elif seen == "out in the warm":
            stay.gone = stay.gone or (at if stay.cold or stay.drying else None)
        else:
            stay.back(at, cold=seen == "into the cold")
    if stay.gone:
        stay.out, stay.drying = stay.gone if stay.cold else None, None
    return stay


def _entries(book: Book, stop: OutageEntry) -> Iterator[Entry]:
    names = {each.id: each.name for each in book.people.where()}
    told = book.happenings.where(kind="night log", subject=stop.station_id)
    for each in told:
        if each.told["outage"] == stop.number:
            yield Entry(
                at=each.at,
                by=names.get(each.by, each.by),
                part=each.told["part"],
                seen=each.told["seen"],
                text=each.told["text"],
                celsius=each.told["celsius"],
                decided_by=each.told["decided_by"],
                discards=each.told.get("discards", False),
                goes_on=each.told.get("goes_on", False),
            )
