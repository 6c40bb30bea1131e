"""From the book to the records of a period: what was posted each week, and what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from api.records.happened import Happening
from api.records.notes import Lot
from api.records.plans import KeptPlan
from api.services.as_it_ran import Known, as_it_ran, runs_for
from api.services.asking import outages_in, span_of
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.runs import KeptRun
from api.services.so_far import posted_before
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.part_lot import PartLot
from scheduler.errors import NoSuchPlan
from scheduler.process.yields import dried_g, trimmed_g
from scheduler.season.records import (
    Checked,
    Gone,
    LotRecord,
    Posted,
    Ran,
    Season,
    Taken,
    WeekRecord,
)
from scheduler.units import Grams


def season(book: Book, doing: Doing, *, first: Week, last: Week) -> Season:
    """The posted weeks between those two, both counted; NoSuchPlan where there is none."""
    must(doing, Act.READ_BOARD)
    return records_of(book, first=first, last=last, until=doing.at)


def records_of(book: Book, *, first: Week, last: Week, until: datetime) -> Season:
    """The same for services that have asked for a right of their own. until: what was posted for
    later has not come yet."""
    entries = sorted(book.weeks.where(), key=lambda entry: entry.week)
    weeks = tuple(
        _week(book, plan_numbered(book.plans, entry.posted), until)
        for entry in entries
        if entry.posted is not None and first <= entry.week <= last
    )
    if not weeks:
        raise NoSuchPlan(f"no plan from {first} to {last} has been posted")
    return Season(
        name=f"{first} to {last}",
        first=weeks[0].week.monday,
        last=weeks[-1].week.monday + timedelta(days=6),
        weeks=weeks,
        told=until,
    )


def _week(book: Book, kept: KeptPlan, until: datetime) -> WeekRecord:
    week, runs = kept.plan.week, runs_for(book, kept.plan.week)
    earlier = sorted(posted_before(book, kept))
    plans = {number: plan_numbered(book.plans, number) for number in earlier}
    plans[kept.number] = kept
    told = book.happenings.where(week=(week, Week.of(week.monday + timedelta(days=7))))
    lots = book.lots.where(week=week)
    asked = replace(kept.asked, notes=tuple(_notes(book, kept, lots, runs)))
    posted = tuple(Posted(each.asked, each.plan) for each in plans.values())[:-1]
    gone = tuple(_gone(book, week, plans))
    went, came = (frozenset(each.note_id for each in those) for those in (gone, lots))
    outages = outages_in(book, span_of(kept.asked.kitchen, week))
    found = as_it_ran(Known(asked, plans, runs, told, outages, went, came, until))
    return WeekRecord(
        posted=(*posted, Posted(asked, kept.plan)),
        ran=tuple(each for _, each in found.ran),
        lots=tuple(
            _lot(lot, asked, told, ran=dict(found.ran), parts=kept.plan.part_lots) for lot in lots
        ),
        outages=outages,
        gone=gone,
        expected=found.expected,
    )


def _notes(
    book: Book, kept: KeptPlan, lots: tuple[Lot, ...], runs: tuple[KeptRun, ...]
) -> Iterator[HarvestNote]:
    """Those that the plan answers, and others that came to the door or went onto racks."""
    yield from kept.asked.notes
    known = {note.id for note in kept.asked.notes}
    came = {lot.note_id for lot in lots}
    came |= {charge.note_id for each in runs for charge in each.run.charges}
    for note_id in sorted(came - known):
        entry = book.notes.last(id=note_id)
        if entry is not None:
            yield entry.note


def _gone(book: Book, week: Week, plans: dict[int, KeptPlan]) -> Iterator[Gone]:
    """Notes that had a place in a posted plan and were let go, or whose grower did not come."""
    placed = {charge.note_id for kept in plans.values() for _, charge in kept.plan.charges()}
    for entry in book.notes.where(week=week, state=("let go", "no-show")):
        deed = book.deeds.last(subject=entry.id)
        if entry.id in placed and deed is not None:
            yield Gone(entry.id, "no-show" if entry.state == "no-show" else "let go", deed.at)


def _lot(
    lot: Lot,
    asked: Asked,
    told: tuple[Happening, ...],
    *,
    ran: dict[int, Ran],
    parts: tuple[PartLot, ...],
) -> LotRecord:
    """parts: what stopped dryers left in that week, of any lot."""
    own = [each for each in told if each.subject == lot.code]
    door = next((each for each in own if each.kind == "at the door"), None)
    note = asked.note(lot.note_id)
    card = asked.card(note.card_id)
    gone = [each.prepared_g for each in parts if each.note_id == note.id and each.discarded]
    prepared = trimmed_g(lot.weighed_g, card.trim_loss_percent)
    lost = prepared if lot.state == "discarded" else min(prepared, sum(gone))
    return LotRecord(
        note_id=lot.note_id,
        code=lot.code,
        came=lot.at,
        weighed_g=lot.weighed_g,
        by=door.by if door else "",
        bags=lot.bags,
        packed=next((each.at for each in own if each.kind == "packed"), None),
        checks=tuple(_check(each, ran) for each in own if each.kind == "dry check"),
        discarded_g=dried_g(
            Grams(lost), card.water_in_percent, water_out_percent=card.water_out_percent
        ),
        went_to=tuple(
            Taken(e.told["to"], e.told["bags"], e.at) for e in own if e.kind == "collected"
        ),
        told_g=Grams(door.told["asked_g"]) if door else None,
    )


def _check(each: Happening, ran: dict[int, Ran]) -> Checked:
    readings = each.told["readings"]
    run = ran.get(each.told["run"])
    return Checked(
        at=each.at,
        run_id=run.run.id if run else "",
        decision=each.told["decision"],
        by=each.told["decided_by"],
        water_activity=max(reading["water_activity"] for reading in readings),
        moisture_percent=max(reading["moisture_percent"] for reading in readings),
    )
