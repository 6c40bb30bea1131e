"""Why racks may be short while most of their hours are free: where those hours went that lots kept
out by racks could have had."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer
from scheduler.domain.plan import Run
from scheduler.measures import stopped_for
from scheduler.season import counts
from scheduler.season.records import Season, WeekRecord
from scheduler.wording import count, percent, plain

RACKS = 5
GRAMS = 1000


@dataclass(frozen=True, slots=True)
class Crowd:
    """Rack-seconds of the dryers that take a lot kept out by racks, from when it came until its
    latest start, or the week's last closing, over all such lots; the parts add up to the whole.

    loaded: drying something, or to dry it in a week under way; beside: empty in a running dryer;
    turned: in cool hold, unloaded, turned round, washed down or stopped; short: free, but for less
    than the lot's drying and a turn-round before the next run, stop or last closing; free: free for
    longer. quiet_s: rack-seconds open in weeks in which racks kept nothing out, of open_s;
    quiet_loaded_s: those of them that were loaded, of used_s.
    """

    lots: int
    weeks: int
    of_weeks: int
    loaded_s: int
    beside_s: int
    turned_s: int
    short_s: int
    free_s: int
    quiet_s: int
    quiet_loaded_s: int
    open_s: int
    used_s: int

    @property
    def all_s(self) -> int:
        return self.loaded_s + self.beside_s + self.turned_s + self.short_s + self.free_s


def crowded(season: Season) -> Crowd | None:
    """None where racks kept nothing out."""
    kept_out = [(week, note) for week in season.weeks for note in _kept_out(week)]
    if not kept_out:
        return None
    weeks = {week.week for week, _ in kept_out}
    parts = [each for week, note in kept_out for each in _parts(season, week, note)]
    loaded, beside, turned, short, free = (sum(column) for column in zip(*parts, strict=True))
    quiet = [week for week in season.weeks if week.week not in weeks]
    return Crowd(
        lots=len(kept_out),
        weeks=len(weeks),
        of_weeks=len(season.weeks),
        loaded_s=loaded,
        beside_s=beside,
        turned_s=turned,
        short_s=short,
        free_s=free,
        quiet_s=sum(counts.rack_open_s(season, week) for week in quiet),
        quiet_loaded_s=sum(each.rack_s for week in quiet for each in week.ran),
        open_s=counts.racks_open_s(season),
        used_s=counts.loaded_s(season),
    )


def _kept_out(week: WeekRecord) -> Iterator[HarvestNote]:
    rules = {each.note_id: each.rule for each in week.plan.waiting}
    return (note for note, _, _ in counts.waiting(week) if rules.get(note.id) == RACKS)


Parts = tuple[int, int, int, int, int]


def _parts(season: Season, week: WeekRecord, note: HarvestNote) -> Iterator[Parts]:
    """Of each dryer that takes it: loaded, beside, turned, short, free."""
    card, staffed = week.asked.card(note.card_id), week.kitchen.staffed_spans(week.week.days)
    yield 0, 0, 0, 0, 0
    last = min(note.latest_start, staffed[-1].end) if staffed else note.arrives
    if last <= note.arrives:
        return
    window = Span(note.arrives, last)
    for dryer in week.kitchen.dryers:
        if card.group in dryer.groups:
            needs = timedelta(seconds=card.drying_s + dryer.turn_round_s)
            taken = sorted(_taken(season, week, dryer), key=lambda each: each.start)
            yield _of_dryer(window, taken, dryer.racks, needs=needs, close=staffed[-1].end)


@dataclass(frozen=True, slots=True)
class _Taken:
    """A dryer taken by a run, or stopped. free: from when on it may run again."""

    start: datetime
    free: datetime
    run: Run | None = None


def _taken(season: Season, week: WeekRecord, dryer: Dryer) -> Iterator[_Taken]:
    to_come = (each for each in week.expected if each.run.start >= season.known_until)
    for each in (*week.ran, *to_come):
        if each.run.dryer_id == dryer.id:
            yield _Taken(each.run.start, _ready(each.run, dryer), each.run)
    for stop in week.outages:
        if stop.station_id == dryer.id:
            gap = stopped_for(stop, season.known_until)
            yield _Taken(gap.start, gap.end)


def _ready(run: Run, dryer: Dryer) -> datetime:
    turned = max(run.end, run.released) + timedelta(seconds=dryer.turn_round_s)
    return max(turned, run.wash_down.end) if run.wash_down else turned


def _of_dryer(
    window: Span, taken: Sequence[_Taken], racks: int, *, needs: timedelta, close: datetime
) -> Parts:
    loaded = beside = short = free = 0
    begin = window.start
    for each in (*taken, _Taken(close, close)):
        gap = _within(window, begin, each.start) * racks
        if each.start - begin < needs:
            short += gap
        else:
            free += gap
        if each.run:
            drying = _within(window, max(begin, each.start), each.run.end)
            loaded += drying * each.run.racks
            beside += drying * (racks - each.run.racks)
        begin = max(begin, each.free)
    turned = window.seconds * racks - loaded - beside - short - free
    return loaded, beside, turned, short, free


def _within(window: Span, start: datetime, end: datetime) -> int:
    start, end = max(window.start, start), min(window.end, end)
    return Span(start, end).seconds if end > start else 0


def in_words(found: Crowd, kg: float) -> str:
    """Sentences for the board. kg: field weight that racks kept out."""
    told = (
        f"Racks kept out {count(found.lots, 'lot')} ({plain(kg)} kg) in {found.weeks} of"
        f" {count(found.of_weeks, 'week')}."
    )
    if found.all_s:
        told += f" {_of_a_hundred(found)}"
    if found.quiet_s:
        told += f" {_beside_quiet_weeks(found)}"
    return told


def _of_a_hundred(found: Crowd) -> str:
    """Rounded so that the parts make up a hundred."""
    parts = (found.loaded_s, found.beside_s + found.turned_s, found.short_s, found.free_s)
    ends = [round(100 * sum(parts[:place]) / found.all_s) for place in range(1, len(parts) + 1)]
    loaded, taken, short, free = (b - a for a, b in zip((0, *ends), ends, strict=False))
    told = (
        f"While those lots waited, day and night, {loaded + taken} of 100 rack-hours of the dryers"
        f" that take them were in use or being made ready ({loaded} loaded)."
    )
    if not short + free:
        return told
    return (
        f"{told} Of the other {short + free}, {short} lay in gaps shorter than the lot needs, for"
        f" runs start and are unloaded in staffed hours alone; {free} were free for longer."
    )


def _beside_quiet_weeks(found: Crowd) -> str:
    loaded, opened = found.used_s - found.quiet_loaded_s, found.open_s - found.quiet_s
    return (
        f"In {'that week' if found.weeks == 1 else 'those weeks'} {percent(loaded / opened)} of all"
        f" rack-hours were loaded, in the other {count(found.of_weeks - found.weeks, 'week')}"
        f" {percent(found.quiet_loaded_s / found.quiet_s)}."
    )
