"""Two kept plans of one week, side by side."""

from __future__ import annotations

from dataclasses import dataclass

from api.records.plans import KeptPlan
from api.services.errors import NotNow
from api.services.plans import plan_for
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.comparing import Compared, compared


@dataclass(frozen=True, slots=True)
class TwoPlans:
    """before and after as they were named; others: numbers of the week's other versions."""

    before: KeptPlan
    after: KeptPlan
    found: Compared
    others: tuple[int, ...]


def compare(book: Book, doing: Doing, before: int, *, after: int) -> TwoPlans:
    """NoSuchPlan; NotNow for plans of different weeks."""
    first, second = plan_for(book, doing, before), plan_for(book, doing, after)
    week = first.plan.week
    if week != second.plan.week:
        raise NotNow(f"plan {before} is of {week}, plan {after} of {second.plan.week}")
    found = compared((first.asked, first.plan), (second.asked, second.plan))
    numbers = book.plans.numbers_of(week)
    others = tuple(each for each in numbers if each not in (before, after))
    return TwoPlans(first, second, found, others)
