"""The day sheet as it is ticked off: which line is done, who did it, and when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from api.records.happened import Happening, OutageEntry
from api.records.notes import Lot
from api.records.plans import KeptPlan
from api.services.plans import KeptSheet, Units, one_sheet, sheet_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.runs import KeptRun, kept_runs
from api.services.weeks import week_entry
from scheduler.day_sheet import DaySheet
from scheduler.day_sheet.sheet import Line
from scheduler.domain.plan import Run
from scheduler.started import all_runs, on_record

OF_RUN = ("start", "end", "unload")
JUST_TICKED = ("wash", "cut", "steam", "chill", "fill", "wash-down")


@dataclass(frozen=True, slots=True)
class Done:
    """Who did it (by name), when, and what was told of it."""

    by: str
    at: datetime
    told: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class LineToTick:
    """plan: the one it is a line of, posted or not. key: names the line for as long as the plan has
    that work. run: the planned one that it belongs to; kept: the same on record. lot: as weighed
    in. loads: of a steam line, each basket. down: its station has stopped and is not back.
    """

    plan: KeptPlan
    posted: bool
    key: str
    line: Line
    run: Run | None
    kept: KeptRun | None
    lot: Lot | None
    done: Done | None
    loads: tuple[Done | None, ...]
    down: OutageEntry | None

    def done_at(self, load: int) -> Done | None:
        """Of a steam line, that basket."""
        numbers = [each.number for each in self.line.loads]
        return self.loads[numbers.index(load)] if numbers else self.done

    @property
    def is_held(self) -> bool:
        """Its dry check was made, and it is held."""
        checked = self.done if self.line.act == "dry check" else None
        return checked is not None and checked.told["decision"] == "hold"

    @property
    def is_done(self) -> bool:
        """What is held is not: somebody must still decide."""
        if self.loads:
            return None not in self.loads
        return self.done is not None and not self.is_held


@dataclass(frozen=True, slots=True)
class DayToTick:
    """posted: the plan is the posted one, so that its runs may be started; on a Monday the lines of
    the week before may be another's. held: lots that are held after their dry check."""

    sheet: DaySheet
    kept: KeptPlan
    posted: bool
    lines: tuple[LineToTick, ...]
    held: tuple[Lot, ...]

    def line(self, key: str) -> LineToTick | None:
        return next((each for each in self.lines if each.key == key), None)


def day_to_tick(book: Book, doing: Doing, day: date, *, units: Units | None = None) -> DayToTick:
    """The sheet of the plan that stands, with what the book knows of each line; NoSuchPlan."""
    must(doing, Act.TICK)
    found = sheet_of(book, day, units=units)
    known, left = _Known(book, found.kept), _left_of(book, found, day, units=units)
    lots = (*(left[0].lots.values() if left else ()), *known.lots.values())
    return DayToTick(
        sheet=found.sheet,
        kept=found.kept,
        posted=known.posted,
        lines=tuple(
            left[0].line(each) if left and each in left[1] else known.line(each)
            for each in found.sheet.lines
        ),
        held=tuple(each for each in lots if each.state == "held"),
    )


def _left_of(
    book: Book, found: KeptSheet, day: date, *, units: Units | None
) -> tuple[_Known, tuple[Line, ...]] | None:
    """What is known of the week before on a Monday that has lines of it, and those lines."""
    if found.before is None:
        return None
    return _Known(book, found.before), one_sheet(found.before, day, units=units).lines


def left_over(book: Book, doing: Doing, found: DayToTick) -> int:
    """How many lines of the day before are not done of those that the book must know of: without
    a start nothing is unloaded, without a weight nothing starts."""
    before = found.sheet.day - timedelta(days=1)
    if before not in found.kept.asked.days:
        return 0
    lines = day_to_tick(book, doing, before).lines
    return sum(
        each.line.act not in (*JUST_TICKED, "down", "up") for each in lines if not each.is_done
    )


def key_of(line: Line) -> str:
    """ "steam R07 A S1"; with its time where only that tells it from others: "start R07 A D1
    09:55"; and its day where it has no lot: "wash-down D2 2026-08-18 07:30"."""
    words = [line.act, "+".join(each.code for each in line.lots), line.station_id]
    if not line.lots:
        words.append(f"{line.at:%Y-%m-%d}")
    if line.act in OF_RUN or not line.lots:
        words.append(f"{line.at:%H:%M}")
    return " ".join(filter(None, words))


def note_of(line: Line) -> str:
    """Whose note a line with one lot is of."""
    return line.lots[0].code.split()[0]


def written_down(runs: Iterable[Run], kept: Iterable[KeptRun]) -> dict[str, KeptRun]:
    """Planned runs that are on record, by id. Nobody plans a further run of racks that were out."""
    fresh = [each for each in kept if not each.further]
    places = on_record(runs, [each.run for each in fresh])
    return {run_id: fresh[place] for run_id, place in places.items()}


class _Known:
    """What the book knows of one plan's week, gathered once for all lines of a day."""

    def __init__(self, book: Book, kept: KeptPlan) -> None:
        week = kept.plan.week
        self.plan = kept
        self.posted = week_entry(book, week).posted == kept.number
        self.runs = all_runs(kept.asked, kept.plan)
        self.kept = written_down(self.runs, kept_runs(book, week))
        self.lots = {each.note_id: each for each in book.lots.where(week=week)}
        self.last = {_about(each): each for each in book.happenings.where(week=week)}
        self.names = {each.id: each.name for each in book.people.where()}
        self.down = {each.station_id: each for each in book.outages.where(back=None)}

    def line(self, line: Line) -> LineToTick:
        run = self._run(line)
        kept = self.kept.get(run.id) if run else None
        lot = self.lots.get(note_of(line)) if len(line.lots) == 1 else None
        key = key_of(line)
        return LineToTick(
            plan=self.plan,
            posted=self.posted,
            key=key,
            line=line,
            run=run,
            kept=kept,
            lot=lot,
            done=None if line.loads else self._done(line, key, kept=kept, lot=lot),
            loads=tuple(self._ticked(key, load.number) for load in line.loads),
            down=self.down.get(line.station_id),
        )

    def _run(self, line: Line) -> Run | None:
        codes = {each.code for each in line.lots}
        holding = [run for run in self.runs if codes & {each.code for each in run.charges}]
        if line.act in OF_RUN:
            holding = [run for run in holding if line.at in _moments(run)]
        return next(iter(holding), None)

    def _done(self, line: Line, key: str, *, kept: KeptRun | None, lot: Lot | None) -> Done | None:
        if line.act == "end":  # a run that is unloaded has ended, whether or not somebody said so
            return self._of_run("run ended", kept) or self._of_run("unloaded", kept)
        if line.act in OF_RUN:
            return self._of_run("run started" if line.act == "start" else "unloaded", kept)
        if line.act in JUST_TICKED:
            return self._ticked(key, 0)
        if lot is None:
            return None
        if line.act == "dry check":
            return self._told("dry check", lot.code, kept.number if kept else 0)
        return self._told("at the door" if line.act == "weigh in" else "packed", lot.code)

    def _of_run(self, kind: str, kept: KeptRun | None) -> Done | None:
        return None if kept is None else self._told(kind, kept.number)

    def _ticked(self, key: str, load: int) -> Done | None:
        """The last word on that line or basket; none where the tick was taken back."""
        found = self._told("ticked", key, load)
        return found if found and found.told["done"] else None

    def _told(self, *about: object) -> Done | None:
        found = self.last.get(about)
        if found is None:
            return None
        return Done(self.names.get(found.by, found.by), found.at, found.told)


def _about(each: Happening) -> tuple[object, ...]:
    """What a happening is the last word on: a run, a lot in a run, a basket, or a lot."""
    if each.kind == "run started":
        return each.kind, each.number
    if each.kind == "start corrected":
        return "run started", each.told["run"]
    if each.kind in ("run ended", "unloaded"):
        return each.kind, each.told["run"]
    if each.kind == "dry check":
        return each.kind, each.subject, each.told["run"]
    if each.kind == "ticked":
        return each.kind, each.subject, each.told["load"]
    return each.kind, each.subject


def _moments(run: Run) -> tuple[datetime, ...]:
    return (run.start, run.end, run.released, run.unload.start if run.unload else run.released)
