"""What a plan costs its growers, for who may read it: everybody's, or a grower's own."""

from __future__ import annotations

from dataclasses import dataclass

from api.records.plans import KeptPlan
from api.services.plans import plan_numbered, standing
from api.services.ports import Book
from api.services.roles import Act, Doing, whose
from scheduler.answer.bills import GrowerBill, bill_of, bills
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
        return _own(kept, week, own)
    if kept is None:
        raise NoSuchPlan(f"no plan of {week} has been laid out")
    return Fees(kept, bills(kept.asked, kept.plan), own=False)


def fees_of_plan(book: Book, doing: Doing, number: int) -> Fees:
    """Of one version. A grower has what is posted by its week; any version is as if not there."""
    own = whose(doing, Act.READ_FEES)
    if own is not None:
        raise NoSuchPlan(f"there is no plan {number}")
    kept = plan_numbered(book.plans, number)
    return Fees(kept, bills(kept.asked, kept.plan), own=False)


def _own(kept: KeptPlan | None, week: Week, grower_id: str) -> Fees:
    if kept is None or kept.state != "posted":
        raise NoSuchPlan(f"no plan of {week} has been posted")
    grower = next((each for each in kept.asked.growers if each.id == grower_id), None)
    found = () if grower is None else (bill_of(kept.asked, kept.plan, grower),)
    return Fees(kept, found, own=True)
