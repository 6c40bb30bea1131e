"""From the book to what a lay-out is asked about: one week with its notes and record."""

from __future__ import annotations

from collections.abc import Container
from datetime import datetime, time, timedelta

from api.records.plans import KeptPlan
from api.services.house import cards, growers, in_force
from api.services.ports import Book
from api.services.runs import kept_runs
from api.services.weeks import week_entry
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, Week, local_instant
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.outage import Happened, Outage, StartedRun
from scheduler.domain.part_lot import PartLot
from scheduler.domain.wish import Wish


def asked_of(book: Book, week: Week, *, now: datetime) -> Asked:
    """Everything that a plan of that week answers, as it stands; NotNow without a kitchen."""
    kitchen = in_force(book).kitchen
    happened = _happened(book, kitchen, week, now=now)
    started = {charge.note_id for run in happened.runs for charge in run.charges}
    entries = book.notes.where(week=week)
    notes = tuple(each.note for each in entries if each.asks or each.id in started)
    return Asked(
        name=str(week),
        title=f"{kitchen.name}, week {week}",
        kitchen=kitchen,
        week=week,
        cards=cards(book),
        growers=growers(book),
        notes=notes,
        happened=happened,
        wishes=wishes_of(book, week, {"", *(each.id for each in notes)}),
    )


def wishes_of(book: Book, week: Week, of: Container[str]) -> tuple[Wish, ...]:
    """Those that hold, of these notes; of "" are those of a dryer."""
    entries = book.wishes.where(week=week, undone_at=None)
    return tuple(each.wish for each in entries if each.note_id in of)


def _happened(book: Book, kitchen: Kitchen, week: Week, *, now: datetime) -> Happened:
    """What is on record for the week; now counts once the week has begun."""
    span = span_of(kitchen, week)
    runs = tuple(each.as_it_was for each in kept_runs(book, week))
    posted = week_entry(book, week).posted
    kept = None if posted is None else book.plans.find(posted)
    return Happened(
        now=now if now >= span.start else None,
        runs=runs if kept is None else with_begun(runs, kept),
        outages=outages_in(book, span),
    )


def with_begun(runs: tuple[StartedRun, ...], kept: KeptPlan) -> tuple[StartedRun, ...]:
    """With those that stopped under part-lots of that plan without being written down."""
    known = {(each.dryer_id, each.start) for each in runs}
    stops = {(part.station_id, part.stopped): part for part in kept.plan.part_lots}
    written = {key for key, part in stops.items() if any(_stopped_in(each, part) for each in runs)}
    begun = (
        each
        for each in kept.asked.happened.runs
        if (each.dryer_id, each.start) not in known
        and any(_stopped_in(each, part) for key, part in stops.items() if key not in written)
    )
    return (*runs, *begun)


def _stopped_in(run: StartedRun, part: PartLot) -> bool:
    """Whether the part-lot is what was left of that run."""
    ours = run.dryer_id == part.station_id and run.start <= part.stopped < run.end
    return ours and any(each.note_id == part.note_id for each in run.charges)


def outages_in(book: Book, span: Span) -> tuple[Outage, ...]:
    """Those that reach into that time, in order of stopping; one taken back at the instant of its
    stop was none."""
    outages = (each.outage for each in book.outages.where())
    return tuple(
        each
        for each in sorted(outages, key=lambda each: (each.stopped, each.station_id))
        if each.stopped < span.end
        and (each.back is None or each.back > max(span.start, each.stopped))
    )


def span_of(kitchen: Kitchen, week: Week) -> Span:
    """The week by the kitchen's clock, with the Monday after it."""
    midnight = (
        local_instant(week.monday + timedelta(days=days), time(0), kitchen.zone) for days in (0, 8)
    )
    return Span(*midnight)


def changes(before: Asked, after: Asked) -> tuple[str, ...]:
    """What is asked differently, in words; the passing of time alone is no change."""
    told = []
    for name, what in (
        ("kitchen", "kitchen settings"),
        ("cards", "process cards"),
        ("growers", "growers or their papers"),
    ):
        if getattr(before, name) != getattr(after, name):
            told.append(f"the {what} changed")
    old, new = ({note.id: note for note in asked.notes} for asked in (before, after))
    told += [f"note {note_id} came" for note_id in new if note_id not in old]
    told += [f"note {note_id} went" for note_id in old if note_id not in new]
    told += [f"note {each} changed" for each in new if each in old and new[each] != old[each]]
    if before.happened.runs != after.happened.runs:
        told.append("runs have started or ended")
    if before.wishes != after.wishes:
        told.append("what is pinned, forbidden or left free changed")
    if before.happened.outages != after.happened.outages:
        told.append("stations stopped or returned")
    return tuple(told)
