"""Goal A: the most prepared grams that have a place."""

from __future__ import annotations

from collections import defaultdict

from scheduler.model.parts import Build, Charge, Expression
from scheduler.problem import pull


def add_objective(build: Build) -> None:
    """Most prepared grams placed, what is pinned before all others.

    Counted lot by lot: a charge's sizes alone would seem to promise each charge its largest, and
    nothing would ever be proved.
    """
    charges: dict[int, list[Charge]] = defaultdict(list)
    for charge in build.charges:
        charges[charge.lot.index].append(charge)
    pinned = 1 + pull(build.problem)
    build.model.maximize(
        sum(_worth(build, own) * (pinned if own[0].lot.pinned else 1) for own in charges.values())
    )


def _worth(build: Build, charges: list[Charge]) -> Expression:
    """What is placed of one lot, as problem.worth counts it: whole grams, rounded down."""
    lot, model = charges[0].lot, build.model
    if lot.parts:
        return lot.prepared_g * charges[0].present
    placed = model.new_int_var(0, lot.racks, f"{lot.note_id} placed")
    grams = model.new_int_var(0, lot.prepared_g, f"{lot.note_id} worth")
    model.add(placed == sum(build.total(charge, "racks") for charge in charges))
    model.add(lot.racks * grams <= lot.prepared_g * placed)
    return grams
