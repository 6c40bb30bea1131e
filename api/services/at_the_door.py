"""Who is expected at the door on a day, and what a true weight means for the racks planned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from api.records.notes import Lot, NoteEntry
from api.records.plans import KeptPlan
from api.services.day_to_tick import Done
from api.services.house import card_of, grower_of
from api.services.notes import SeenNote, as_seen, note
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.weeks import week_entry
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import Grower
from scheduler.domain.plan import Charge, Run
from scheduler.domain.process_card import ProcessCard
from scheduler.process.racks import racks_needed
from scheduler.process.yields import WEIGHT_SPREAD_PERCENT
from scheduler.started import all_runs
from scheduler.units import Grams

COMING = ("noted", "pencilled", "firm")


@dataclass(frozen=True, slots=True)
class Weighed:
    """What came against what was noted, in grams, and the racks that it needs against those
    planned; planned is 0 where it has no place. fits: its runs have room for what it needs."""

    asked_g: Grams
    weighed_g: Grams
    planned: int
    needed: int
    fits: bool


@dataclass(frozen=True, slots=True)
class Expected:
    """A note and, once it is here, its lot, who weighed it in, and what its weight means."""

    entry: NoteEntry
    grower: Grower
    card: ProcessCard
    papers_short: tuple[str, ...]
    placed: bool
    lot: Lot | None
    done: Done | None
    weighed: Weighed | None


def expected(book: Book, doing: Doing, day: date) -> tuple[Expected, ...]:
    """The notes of the day's week that are here or still asked for, in order of arrival."""
    must(doing, Act.DOOR)
    week = Week.of(day)
    lots = {each.note_id: each for each in book.lots.where(week=week)}
    every = book.notes.where(week=week)
    notes = [each for each in every if each.id in lots or each.state in COMING]
    if not notes:
        return ()
    door = _Door(book, week, lots)
    in_order = sorted(notes, key=lambda each: (each.arrives, each.id))
    return tuple(door.expected(book, seen) for seen in as_seen(book, doing, in_order))


class _Door:
    """What is known of one week at the door, gathered once for all its notes."""

    def __init__(self, book: Book, week: Week, lots: Mapping[str, Lot]) -> None:
        self.kept = posted_plan(book, week)
        self.lots = lots
        told = book.happenings.where(week=week, kind="at the door")
        self.told = {each.subject: each for each in told}
        self.names = {each.id: each.name for each in book.people.where()}

    def expected(self, book: Book, seen: SeenNote) -> Expected:
        entry = seen.entry
        lot = self.lots.get(entry.id)
        told = self.told.get(lot.code) if lot else None
        return Expected(
            entry=entry,
            grower=grower_of(book, entry.grower_id),
            card=card_of(book, entry.card_id),
            papers_short=seen.papers_short,
            placed=self.kept is not None and bool(charges_of(self.kept, entry.id)),
            lot=lot,
            done=Done(self.names.get(told.by, told.by), told.at, told.told) if told else None,
            weighed=weighed_of(self.kept, entry.id, told.told) if told else None,
        )


def noted_g(book: Book, doing: Doing, note_id: str) -> Grams | None:
    """What was noted; None once it is here."""
    found = note(book, doing, note_id, Act.DOOR)
    return found.field_g if found.state in COMING else None


def far_off(noted: Grams, weighed: Grams) -> bool:
    """Whether a weight is further from its note than lots are thought to be (demo): a slip of the
    hand is likelier."""
    return abs(weighed - noted) * 100 > noted * WEIGHT_SPREAD_PERCENT


def undecided_in(asked: Asked, kept: KeptPlan) -> set[str]:
    """The notes of which the true weight is not the one that the plan answers."""
    before = {each.id: each.field_g for each in kept.asked.notes}
    now = {each.id: each.field_g for each in asked.open_notes()}
    return {each for each, field_g in now.items() if before.get(each, field_g) != field_g}


def posted_plan(book: Book, week: Week) -> KeptPlan | None:
    """The posted plan of a week; None where none is."""
    posted = week_entry(book, week).posted
    return None if posted is None else plan_numbered(book.plans, posted)


def weighed_of(kept: KeptPlan | None, note_id: str, told: Mapping[str, Any]) -> Weighed:
    """What was told at the door against the plan: every charge of the note grows or shrinks as the
    whole weight does (rule 5)."""
    asked_g, weighed_g = told["asked_g"], told["weighed_g"]
    charges = charges_of(kept, note_id) if kept else []
    if kept is None or not charges:
        return Weighed(asked_g, weighed_g, planned=0, needed=0, fits=False)
    needed = [_needed(kept, run, charge, weighed_g) for run, charge in charges]
    return Weighed(
        asked_g,
        weighed_g,
        planned=sum(charge.racks for _, charge in charges),
        needed=sum(needed),
        fits=all(
            racks - charge.racks <= kept.asked.kitchen.dryer(run.dryer_id).racks - run.racks
            for racks, (run, charge) in zip(needed, charges, strict=True)
        ),
    )


def charges_of(kept: KeptPlan, note_id: str) -> list[tuple[Run, Charge]]:
    """Those of a note in the plan, of runs that had started before it was made too."""
    runs = all_runs(kept.asked, kept.plan)
    return [(run, each) for run in runs for each in run.charges if each.note_id == note_id]


def _needed(kept: KeptPlan, run: Run, charge: Charge, weighed_g: Grams) -> int:
    note = kept.asked.note(charge.note_id)
    prepared = Grams(charge.prepared_g * weighed_g // note.field_g)
    per_m2 = kept.asked.card(note.card_id).g_per_m2
    area = kept.asked.kitchen.dryer(run.dryer_id).rack_area_cm2
    return racks_needed(prepared, per_m2, rack_area_cm2=area)
