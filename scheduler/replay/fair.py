"""What was found in one kitchen counts in the other, too, where it breaks no rule there.

A search may be luckier in the kitchen as it is than in the changed one. Where a change only gives
room, every plan of the kitchen as it is can be had in the changed one; and a plan that has no use
for the change can be had without it. With both counted, a station more never saves less than none,
and what another search would have found anyway is credited to no change.
"""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL
from scheduler.verify import verify


def fair(asked: Asked, without: Plan, *, changed: Asked, with_it: Plan) -> tuple[Plan, Plan]:
    """The better plan of each of the two weeks, by prepared grams; its own where they are alike."""
    best = _better(asked, without, with_it)
    return best, _better(changed, with_it, without)


def _better(asked: Asked, own: Plan, other: Plan) -> Plan:
    if other.worth_g <= own.worth_g or verify(asked, other, FULL):
        return own
    return replace(other, proof=None)  # it was of the other week
