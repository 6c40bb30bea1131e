"""What was found in one kitchen counts in every other, too, where it breaks no rule there.

A search may be luckier in the kitchen as it is than in a changed one. Where a change only gives
room, every plan of the kitchen as it is can be had in the changed one; and a plan that has no use
for the change can be had without it. With all counted, a station more never saves less than none,
two changes that give room never less than one of them, and what another search would have found
anyway is credited to no change.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL
from scheduler.verify import verify


def fair(weeks: Sequence[tuple[Asked, Plan]]) -> tuple[Plan, ...]:
    """For each of the same week's kitchens the best of all their plans that breaks none of its
    rules, by prepared grams; its own where none is better."""
    best_first = sorted((plan for _, plan in weeks), key=lambda plan: -plan.worth_g)
    return tuple(_best(asked, own, best_first) for asked, own in weeks)


def _best(asked: Asked, own: Plan, best_first: Iterable[Plan]) -> Plan:
    for plan in best_first:
        if plan.worth_g <= own.worth_g:
            break
        if not verify(asked, plan, FULL):
            return replace(plan, proof=None)  # it was of another kitchen
    return own
