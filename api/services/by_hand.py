"""The whiteboard plan beside a plan: what a careful person would have made of the same week."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from api.records.plans import KeptPlan
from api.services.plans import plan_for
from api.services.ports import Book
from api.services.roles import Doing
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL, SIMPLE
from scheduler.expand import expanded
from scheduler.keeping import keeping
from scheduler.prepare import problem
from scheduler.whiteboard import whiteboard

RULES = {each.name: each for each in (FULL, SIMPLE)}


@dataclass(frozen=True, slots=True)
class Beside:
    """by_hand: None where the plan was laid out under rules that are not these. others: numbers
    of the week's other versions."""

    kept: KeptPlan
    by_hand: Plan | None
    others: tuple[int, ...] = ()


def beside_for(book: Book, doing: Doing, number: int) -> Beside:
    """One version, posted or not, with what would have been made by hand of what it answers."""
    kept = plan_for(book, doing, number)
    by_hand = _by_hand(kept.asked, kept.plan.rules) if kept.plan.rules in RULES else None
    numbers = book.plans.numbers_of(kept.plan.week)
    return Beside(kept, by_hand, tuple(each for each in numbers if each != number))


@lru_cache(maxsize=16)
def _by_hand(asked: Asked, rules: str) -> Plan:
    week = keeping(asked, problem(asked, RULES[rules]))
    return expanded(asked, week, whiteboard(week))
