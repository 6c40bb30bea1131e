"""Rack labels: what goes onto the racks of a day's runs, for who loads them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from api.services.errors import NotAllowed
from api.services.plans import sheet_of
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Run
from scheduler.started import all_runs


@dataclass(frozen=True, slots=True)
class Labelled:
    """A charge of a run that starts that day. lot_code: "" until it is weighed in; packed: when
    its lot first was."""

    run: Run
    charge: Charge
    lot_code: str
    packed: datetime | None = None


@dataclass(frozen=True, slots=True)
class DayLabels:
    """A day's charges in order of start, then of rack."""

    asked: Asked
    charges: tuple[Labelled, ...]


def rack_labels(book: Book, doing: Doing, day: date) -> DayLabels:
    """Of the plan that stands for that day; NoSuchPlan where none does."""
    if must(doing, Act.READ_DAY_SHEET) != "all":
        raise NotAllowed(f"{doing.person.role} may not print rack labels")
    kept = sheet_of(book, day).kept
    zone = kept.asked.kitchen.zone
    runs = [
        run for run in all_runs(kept.asked, kept.plan) if run.start.astimezone(zone).date() == day
    ]
    notes = tuple({charge.note_id for run in runs for charge in run.charges})
    codes = {each.note_id: each.code for each in book.lots.where(note_id=notes)} if notes else {}
    return DayLabels(
        asked=kept.asked,
        charges=tuple(
            _labelled(book, run, charge, codes.get(charge.note_id, ""))
            for run in runs
            for charge in sorted(run.charges, key=lambda each: each.first_rack)
        ),
    )


def _labelled(book: Book, run: Run, charge: Charge, lot_code: str) -> Labelled:
    packed = book.happenings.where(subject=lot_code, kind="packed") if lot_code else ()
    return Labelled(run, charge, lot_code, min((each.at for each in packed), default=None))
