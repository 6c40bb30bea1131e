"""Runs as they were: started, ended, unloaded. What is written down stays; more is added to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, Literal

from api.records.happened import Happening, HappeningKind
from api.records.notes import Lot, LotState
from api.records.plans import KeptPlan
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.house import in_force, zone_of
from api.services.notes import week_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.weeks import week_entry
from scheduler.domain.clock import Week
from scheduler.domain.outage import StartedCharge, StartedRun
from scheduler.domain.plan import Run
from scheduler.errors import BadInput, InputFault
from scheduler.started import all_runs
from scheduler.units import Racks


@dataclass(frozen=True, slots=True)
class Start:
    """A run that started. Without charges it is the first run that the posted plan has for that
    dryer and that is not on record yet, or the one named by planned, its id in the plan; what is
    said besides is otherwise than planned. further: the run on record of which the racks go on,
    after a dry check that failed."""

    dryer_id: str
    at: datetime
    set_point_c: float | None = None
    ends: datetime | None = None
    charges: tuple[StartedCharge, ...] = ()
    planned: str = ""
    further: int = 0


@dataclass(frozen=True, slots=True)
class KeptRun:
    """A run on record: number names it; ended and unloaded are None until somebody says so.
    further: number of the run of which its racks go on, 0 where they are fresh. stopped: when its
    dryer first stopped after its start, if it did."""

    number: int
    week: Week
    run: StartedRun
    started_by: str
    ended: datetime | None
    unloaded: datetime | None
    further: int = 0
    stopped: datetime | None = None

    @property
    def as_it_was(self) -> StartedRun:
        """With the end that was seen, else the planned one."""
        return self.run if self.ended is None else replace(self.run, end=self.ended)

    @property
    def dried(self) -> StartedRun:
        """As it was, but no longer than until its dryer stopped under it (rule 20)."""
        was = self.as_it_was
        return was if self.stopped is None else replace(was, end=min(was.end, self.stopped))

    def racks_of(self, note_id: str) -> int:
        return sum(each.racks for each in self.run.charges if each.note_id == note_id)


def kept_runs(book: Book, week: Week) -> tuple[KeptRun, ...]:
    """All runs of the week on record, in order of start."""
    kinds = ("run started", "start corrected", "run ended", "unloaded")
    told = book.happenings.where(week=week, kind=kinds)
    begun = {each.told["run"]: each.at for each in told if each.kind == "start corrected"}
    ended = {each.told.get("run"): each.at for each in told if each.kind == "run ended"}
    unloaded = {each.told.get("run"): each.at for each in told if each.kind == "unloaded"}
    runs = {each.number: begun_at(each.run, begun.get(each.number)) for each in told if each.run}
    found = (
        KeptRun(
            number=each.number,
            week=week,
            run=runs[each.number],
            started_by=each.by,
            ended=ended.get(each.number),
            unloaded=unloaded.get(each.number),
            further=each.told.get("further", 0),
            stopped=_stopped(book, runs[each.number]),
        )
        for each in told
        if each.number in runs
    )
    return tuple(sorted(found, key=lambda each: (each.run.start, each.run.dryer_id)))


def begun_at(run: StartedRun, begun: datetime | None) -> StartedRun:
    """As long as planned, since it began in truth."""
    if begun is None:
        return run
    return replace(run, start=begun, end=begun + (run.end - run.start))


def _stopped(book: Book, run: StartedRun) -> datetime | None:
    """A stop that was taken back at its own instant was none."""
    stops = (
        each.stopped
        for each in book.outages.where(station_id=run.dryer_id)
        if each.stopped >= run.start and each.back != each.stopped
    )
    return min(stops, default=None)


def runs(book: Book, doing: Doing, *, week: Week) -> tuple[KeptRun, ...]:
    """The runs of a week on record, for who may read the week."""
    must(doing, Act.READ_WEEK)
    return kept_runs(book, week)


def run_numbered(book: Book, doing: Doing, number: int, act: Act = Act.READ_WEEK) -> KeptRun:
    """One of them; NoSuchThing where there is none."""
    must(doing, act)
    found = book.happenings.find(number)
    if found is None or found.run is None:
        raise NoSuchThing(f"there is no run {number}")
    return next(each for each in kept_runs(book, found.week) if each.number == number)


def start(book: Book, doing: Doing, said: Start) -> KeptRun:
    """The run has started, with lots that were weighed in; from now on it is never moved (rule 18).

    BadInput for what no dryer can do; NotNow where the dryer is down or not free, a lot is not at
    the door, or the plan has no such run.
    """
    must(doing, Act.RUN)
    week = week_of(book, said.at)
    _must_be_free(book, doing, said, week)
    planned, number = _planned(book, said, week)
    run = _as_started(said, planned)
    _no_faults(book, doing, run)
    lots = [_at_the_door(book, each) for each in run.charges]
    told: dict[str, Any] = {"plan": number, "planned": planned.id if planned else ""}
    told |= {"further": said.further} if said.further else {}
    kept = book.happenings.add(
        Happening("run started", run.start, doing.person.id, week, run.dryer_id, told, run)
    )
    for lot, charge in zip(lots, run.charges, strict=True):
        told = {"run": kept.number, "dryer": run.dryer_id, "racks": charge.racks}
        kind: Literal["on racks", "back to dryer"] = "back to dryer" if said.further else "on racks"
        what = Happening(kind, run.start, doing.person.id, week, lot.code, told)
        _keep_of_lot(book, lot, kind, what)
    keep_deed(book, doing, Act.RUN, run.dryer_id, run=kept.number, started=run)
    return run_numbered(book, doing, kept.number, Act.RUN)


def end(book: Book, doing: Doing, number: int, at: datetime) -> KeptRun:
    """Drying has ended, earlier or later than planned."""
    found = run_numbered(book, doing, number, Act.RUN)
    if found.ended is not None or found.unloaded is not None:
        raise NotNow(f"run {number} has ended already")
    _within(at, since=found.run.start, until=doing.at)
    return _add(book, doing, found, kind="run ended", at=at)


def unload(book: Book, doing: Doing, number: int, at: datetime) -> KeptRun:
    """Its racks are out; NotNow before it has ended."""
    found = run_numbered(book, doing, number, Act.RUN)
    if found.unloaded is not None:
        raise NotNow(f"run {number} is unloaded already")
    if at < found.as_it_was.end:
        raise NotNow(f"run {number} is still drying; say first that it has ended")
    _within(at, since=found.run.start, until=doing.at)
    done = _add(book, doing, found, kind="unloaded", at=at)
    for each in found.run.charges:
        lot = next(iter(book.lots.where(note_id=each.note_id)), None)
        if lot is not None:
            still = any(other.unloaded is None for other in runs_of(book, lot))
            state: LotState = "on racks" if still else "off racks"
            told = {"run": number}
            what = Happening("off racks", at, doing.person.id, lot.week, lot.code, told)
            _keep_of_lot(book, lot, state, what)
    return done


def _add(book: Book, doing: Doing, found: KeptRun, *, kind: HappeningKind, at: datetime) -> KeptRun:
    dryer_id, told = found.run.dryer_id, {"run": found.number}
    book.happenings.add(Happening(kind, at, doing.person.id, found.week, dryer_id, told))
    keep_deed(book, doing, Act.RUN, dryer_id, run=found.number, what=kind, at=at)
    return run_numbered(book, doing, found.number, Act.RUN)


def _keep_of_lot(book: Book, lot: Lot, state: LotState, what: Happening) -> None:
    """What is held stays held, whatever becomes of its other racks, and what is discarded so."""
    if lot.state == "discarded" or (lot.state == "held" and state != "back to dryer"):
        state = lot.state
    book.lots.replace(replace(lot, state=state, version=lot.version + 1))
    book.happenings.add(what)


def runs_of(book: Book, lot: Lot) -> list[KeptRun]:
    """The runs on record that hold the lot, in order of start; a further one may be of the week
    after."""
    weeks = (lot.week, Week.of(lot.week.monday + timedelta(days=7)))
    found = (each for week in weeks for each in kept_runs(book, week))
    return [each for each in found if each.racks_of(lot.note_id)]


def _planned(book: Book, said: Start, week: Week) -> tuple[Run | None, int | None]:
    """The posted plan's run in that dryer that is meant, not on record yet, and the plan's number;
    none where it is said what is on the racks."""
    posted = week_entry(book, week).posted
    kept = None if posted is None else book.plans.find(posted)
    if kept is None or said.charges:
        return None, None
    had = {
        each.told.get("planned")
        for each in book.happenings.where(week=week, kind="run started")
        if each.told.get("plan") == kept.number
    }
    left = _in_dryer(kept, said.dryer_id, had)
    return next((each for each in left if said.planned in ("", each.id)), None), kept.number


def _in_dryer(kept: KeptPlan, dryer_id: str, had: set[Any]) -> Iterator[Run]:
    """Those of part-lots included, in order of start; not what had begun before it was laid out."""
    begun = {(each.dryer_id, each.start) for each in kept.asked.happened.runs}
    for run in all_runs(kept.asked, kept.plan):
        fresh = (run.dryer_id, run.start) not in begun and run.id not in had
        if run.dryer_id == dryer_id and fresh:
            yield run


def _as_started(said: Start, planned: Run | None) -> StartedRun:
    set_point_c, ends, charges = said.set_point_c, said.ends, said.charges
    if planned is not None:
        set_point_c = planned.set_point_c if set_point_c is None else set_point_c
        ends = ends or said.at + (planned.end - planned.start)
        charges = _together(planned)
    if set_point_c is None or ends is None or not charges:
        raise NotNow(
            f"no run of {said.dryer_id} is posted that is not on record;"
            " say what is on its racks, when it ends and its set point"
        )
    return StartedRun(said.dryer_id, set_point_c, said.at, ends, charges)


def _together(planned: Run) -> tuple[StartedCharge, ...]:
    """Each note once: two part-lots of one may dry on together."""
    racks: Counter[str] = Counter()
    for each in planned.charges:
        racks[each.note_id] += each.racks
    return tuple(StartedCharge(note_id, Racks(many)) for note_id, many in racks.items())


def _no_faults(book: Book, doing: Doing, run: StartedRun) -> None:
    dryer = in_force(book).kitchen.dryer(run.dryer_id)
    racks = sum(each.racks for each in run.charges)
    _within(run.start, until=doing.at)
    if run.end <= run.start:
        raise _bad("ends", "is not after the start")
    if racks > dryer.racks:
        raise _bad("charges", f"{racks} racks; {dryer.id} has {dryer.racks}")
    if not dryer.coolest_c <= run.set_point_c <= dryer.hottest_c:
        raise _bad("set_point_c", f"{dryer.id} goes from {dryer.coolest_c} to {dryer.hottest_c} C")
    if len({each.note_id for each in run.charges}) < len(run.charges):
        raise _bad("charges", "names a note twice")


def _within(at: datetime, *, until: datetime, since: datetime | None = None) -> None:
    if at > until:
        raise _bad("at", "has not come yet")
    if since is not None and at <= since:
        raise _bad("at", "is not after the start")


def _bad(field: str, message: str) -> BadInput:
    return BadInput((InputFault("run", None, field, message),))


def _must_be_free(book: Book, doing: Doing, said: Start, week: Week) -> None:
    if said.dryer_id not in {each.id for each in in_force(book).kitchen.dryers}:
        raise _bad("dryer_id", f"there is no dryer {said.dryer_id}")
    for outage in book.outages.where(station_id=said.dryer_id):
        if outage.stopped <= said.at and (outage.back is None or said.at < outage.back):
            raise NotNow(f"{said.dryer_id} is down")
    for each in kept_runs(book, week):
        if each.run.dryer_id == said.dryer_id and said.at < each.as_it_was.end:
            since = each.run.start.astimezone(zone_of(book))
            raise NotNow(
                f"{said.dryer_id} is in run {each.number}, started {since:%a %d %b %H:%M};"
                " say first that it has ended"
            )


def _at_the_door(book: Book, charge: StartedCharge) -> Lot:
    found = next(iter(book.lots.where(note_id=charge.note_id)), None)
    if found is None:
        raise NotNow(f"note {charge.note_id} is not at the door; weigh it in first")
    if found.state in ("packed", "discarded"):
        raise NotNow(f"lot {found.code} is {found.state}")
    return found
