"""What a plan costs its growers, for who may read it: everybody's, or a grower's own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from api.records.plans import KeptPlan
from api.services.plans import plan_numbered, standing
from api.services.ports import Book
from api.services.roles import Act, Doing, whose
from scheduler.answer.bills import (
    Answered,
    GrowerBill,
    LotBill,
    bill_of,
    bills,
    ids_under_way,
    placed_bill,
)
from scheduler.domain.clock import Week
from scheduler.errors import NoSuchPlan


@dataclass(frozen=True, slots=True)
class Fees:
    """A plan and what it costs. own: a grower reads her own part."""

    kept: KeptPlan
    growers: tuple[GrowerBill, ...]
    own: bool


def fees_of_week(book: Book, doing: Doing, week: Week) -> Fees:
    """Of the posted plan, else of the newest, which no grower sees; NoSuchPlan without one."""
    own = whose(doing, Act.READ_FEES)
    kept = standing(book, week)
    if own is not None:
        return _own(book, kept, week, grower_id=own)
    if kept is None:
        raise NoSuchPlan(f"no plan of {week} has been laid out")
    return _of_all(book, kept)


def fees_of_plan(book: Book, doing: Doing, number: int) -> Fees:
    """Of one version. A grower has what is posted by its week; any version is as if not there."""
    own = whose(doing, Act.READ_FEES)
    if own is not None:
        raise NoSuchPlan(f"there is no plan {number}")
    kept = plan_numbered(book.plans, number)
    return _of_all(book, kept)


def fees_of_note(book: Book, kept: KeptPlan, note_id: str) -> LotBill | None:
    """By that plan, or by one before it where the note is under way; None without a place."""
    if all(each.id != note_id for each in kept.asked.notes):
        return None
    note = kept.asked.note(note_id)
    return placed_bill(kept.asked, kept.plan, note, before=_before(book, kept))


def _of_all(book: Book, kept: KeptPlan) -> Fees:
    return Fees(kept, bills(kept.asked, kept.plan, _before(book, kept)), own=False)


def _own(book: Book, kept: KeptPlan | None, week: Week, *, grower_id: str) -> Fees:
    if kept is None or kept.state != "posted":
        raise NoSuchPlan(f"no plan of {week} has been posted")
    grower = next((each for each in kept.asked.growers if each.id == grower_id), None)
    if grower is None:
        return Fees(kept, (), own=True)
    found = bill_of(kept.asked, kept.plan, grower, before=_before(book, kept))
    return Fees(kept, (found,), own=True)


def _before(book: Book, kept: KeptPlan) -> tuple[Answered, ...]:
    """Plans posted before it, the latest first; none are read where no lot is under way."""
    return tuple(_posted_before(book, kept)) if ids_under_way(kept.asked) else ()


def _posted_before(book: Book, kept: KeptPlan) -> Iterator[Answered]:
    while kept.origin.posted is not None:
        found = book.plans.find(kept.origin.posted)
        if found is None:
            return
        kept = found
        yield kept.asked, kept.plan
