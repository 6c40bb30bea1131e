"""From the book to the records of a period: what was posted each week, and what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from api.records.happened import Happening
from api.records.notes import Lot
from api.records.plans import KeptPlan
from api.services.asking import outages_in, span_of
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.runs import KeptRun, kept_runs
from api.services.so_far import posted_before
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Charge, Run
from scheduler.errors import NoSuchPlan
from scheduler.process.yields import dried_g, trimmed_g
from scheduler.season.records import Checked, Gone, LotRecord, Posted, Ran, Season, WeekRecord
from scheduler.units import Grams, Racks


def season(book: Book, doing: Doing, *, first: Week, last: Week) -> Season:
    """The posted weeks between those two, both counted; NoSuchPlan where there is none."""
    must(doing, Act.READ_BOARD)
    return records_of(book, first=first, last=last)


def records_of(book: Book, *, first: Week, last: Week) -> Season:
    """The same for services that have asked for a right of their own."""
    entries = sorted(book.weeks.where(), key=lambda entry: entry.week)
    weeks = tuple(
        _week(book, plan_numbered(book.plans, entry.posted))
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
    )


def _week(book: Book, kept: KeptPlan) -> WeekRecord:
    week = kept.plan.week
    earlier = sorted(posted_before(book, kept))
    plans = {number: plan_numbered(book.plans, number) for number in earlier}
    plans[kept.number] = kept
    told = book.happenings.where(week=week)
    asked = replace(kept.asked, notes=tuple(_notes(book, kept, told)))
    posted = tuple(Posted(each.asked, each.plan) for each in plans.values())[:-1]
    gone = tuple(_gone(book, week, plans))
    ran = _Ran(asked, plans, told, frozenset(each.note_id for each in gone)).all(
        kept_runs(book, week), kept
    )
    return WeekRecord(
        posted=(*posted, Posted(asked, kept.plan)),
        ran=tuple(each for _, each in ran),
        lots=tuple(_lot(lot, asked, told, ran=dict(ran)) for lot in book.lots.where(week=week)),
        outages=outages_in(book, span_of(kept.asked.kitchen, week)),
        gone=gone,
    )


def _notes(book: Book, kept: KeptPlan, told: tuple[Happening, ...]) -> Iterator[HarvestNote]:
    """Those that the plan answers, and others that came to the door or went onto racks."""
    yield from kept.asked.notes
    known = {note.id for note in kept.asked.notes}
    came = {lot.note_id for lot in book.lots.where(week=kept.plan.week)}
    came |= {charge.note_id for each in told if each.run for charge in each.run.charges}
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


@dataclass(frozen=True, slots=True)
class _Ran:
    """Runs on record in the form of planned ones, and planned ones that nobody wrote down."""

    asked: Asked
    plans: dict[int, KeptPlan]
    told: tuple[Happening, ...]
    gone: frozenset[str]

    def all(self, kept: tuple[KeptRun, ...], last: KeptPlan) -> list[tuple[int, Ran]]:
        """With the number of each on record; 0 of the others."""
        started = {each.number: each.told for each in self.told if each.run is not None}
        found = [(each.number, self._seen(each, started[each.number])) for each in kept]
        seen = {told.get("planned") for told in started.values() if told.get("plan") == last.number}
        for run in last.plan.runs:
            charges = tuple(each for each in run.charges if each.note_id not in self.gone)
            if run.id not in seen and charges:
                found.append((0, Ran(replace(run, charges=charges), run, on_record=False)))
        return sorted(found, key=lambda each: (each[1].run.start, each[1].run.dryer_id))

    def _seen(self, kept: KeptRun, told: dict[str, Any]) -> Ran:
        planned = self._planned(told)
        was = kept.dried
        run = Run(
            id=planned.id if planned else f"on record {kept.number}",
            dryer_id=was.dryer_id,
            set_point_c=was.set_point_c,
            start=was.start,
            end=was.end,
            released=max(was.end, kept.unloaded or was.end),
            unload=None,
            wash_down=None,
            charges=tuple(self._charges(kept, planned)),
        )
        held = {each.subject for each in self.told if each.told.get("decision") == "hold"}
        again = planned is None and any(self._held_before(kept, code) for code in held)
        return Ran(run, planned, on_record=True, again=again)

    def _planned(self, told: dict[str, Any]) -> Run | None:
        plan = self.plans.get(told.get("plan") or 0)
        runs = plan.plan.runs if plan else ()
        return next((run for run in runs if run.id == told.get("planned")), None)

    def _held_before(self, kept: KeptRun, code: str) -> bool:
        """Whether all on its racks is of a lot that a dry check held before the run."""
        at = [each for each in self.told if each.subject == code]
        on = [each.told.get("run") for each in at if each.kind == "on racks"]
        checks = [each for each in at if each.kind == "dry check" and each.at <= kept.run.start]
        alone = len(kept.run.charges) == 1
        return alone and kept.number in on and any(c.told["decision"] == "hold" for c in checks)

    def _charges(self, kept: KeptRun, planned: Run | None) -> Iterator[Charge]:
        known = {each.note_id: each for each in planned.charges} if planned else {}
        first = 1
        for each in kept.run.charges:
            charge = known.get(each.note_id)
            if charge is None or charge.racks != each.racks:
                charge = self._made(each.note_id, each.racks, first)
            yield charge
            first += each.racks

    def _made(self, note_id: str, racks: Racks, first: int) -> Charge:
        """A charge that no plan had: its share of the lot by racks on record."""
        note = self.asked.note(note_id)
        on_record = sum(
            charge.racks
            for each in self.told
            if each.run is not None
            for charge in each.run.charges
            if charge.note_id == note_id
        )
        field = Grams(note.field_g * racks // max(1, on_record))
        prepared = trimmed_g(field, self.asked.card(note.card_id).trim_loss_percent)
        return Charge(note_id, "", racks, first, field, prepared)


def _lot(lot: Lot, asked: Asked, told: tuple[Happening, ...], *, ran: dict[int, Ran]) -> LotRecord:
    own = [each for each in told if each.subject == lot.code]
    note = asked.note(lot.note_id)
    card = asked.card(note.card_id)
    prepared = trimmed_g(lot.weighed_g, card.trim_loss_percent)
    dried = dried_g(prepared, card.water_in_percent, water_out_percent=card.water_out_percent)
    return LotRecord(
        note_id=lot.note_id,
        code=lot.code,
        came=lot.at,
        weighed_g=lot.weighed_g,
        by=next((each.by for each in own if each.kind == "at the door"), ""),
        bags=lot.bags,
        packed=_last(own, "packed"),
        checks=tuple(_check(each, ran) for each in own if each.kind == "dry check"),
        discarded_g=dried if lot.state == "discarded" else 0,
        went_to=tuple((e.told["to"], e.told["bags"]) for e in own if e.kind == "collected"),
    )


def _last(own: list[Happening], kind: str) -> datetime | None:
    return max((each.at for each in own if each.kind == kind), default=None)


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
