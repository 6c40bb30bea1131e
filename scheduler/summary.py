"""A lay-out in a few figures, for other programs to read."""

from __future__ import annotations

from typing import Any

from scheduler.domain.asked import Asked
from scheduler.domain.mend import Mend
from scheduler.domain.plan import Plan, Proof
from scheduler.measures import Fraction, measure, rescued
from scheduler.units import kg


def summary(
    asked: Asked,
    plan: Plan,
    *,
    faults: int,
    first_plan_s: float,
    wall_s: float,
) -> dict[str, Any]:
    """JSON values: weights in kg, worths in prepared grams where proved, times in seconds."""
    found = rescued(asked, plan)
    return {
        "scenario": asked.name,
        "week": str(asked.week),
        "rules": plan.rules,
        "seed": plan.seed,
        "work": plan.work,
        "asked_notes": found.asked_notes,
        "placed_notes": found.placed_notes,
        "part_placed_notes": found.part_placed_notes,
        "asked_field_kg": kg(found.asked_field_g),
        "placed_field_kg": kg(found.placed_field_g),
        "asked_prepared_kg": kg(found.asked_prepared_g),
        "placed_prepared_kg": kg(found.placed_prepared_g),
        **(_proof(plan.proof) if plan.proof else {}),
        "faults": faults,
        "first_plan_s": first_plan_s,
        "wall_s": wall_s,
        "fractions": [_fraction(each) for each in measure(asked, plan).four],
    }


def mend_summary(
    asked: Asked, mend: Mend, *, faults: int, lay_open_s: float, wall_s: float
) -> dict[str, Any]:
    """A mended plan: later notes that asked for a place and those that have all of it, kg in the
    field that asked and that have a place, turns that are not when they were; times in seconds."""
    found = rescued(asked, mend.plan)
    return {
        "later_notes": found.asked_notes,
        "later_notes_kept": found.placed_notes,
        "later_field_kg": kg(found.asked_field_g),
        "later_field_kg_kept": kg(found.placed_field_g),
        "turns_moved": sum(each.was is not None for each in mend.moves),
        "faults": faults,
        "lay_open_s": lay_open_s,
        "wall_s": wall_s,
    }


def _proof(proof: Proof) -> dict[str, int | float]:
    return {
        "worth": proof.worth_g,
        "bound": proof.bound_g,
        "gap": proof.gap,
        "whiteboard_worth": proof.whiteboard_g,
    }


def _fraction(fraction: Fraction) -> dict[str, Any]:
    return {
        "name": fraction.name,
        "numerator": fraction.numerator,
        "denominator": fraction.denominator,
        "unit": fraction.unit,
        "definition": fraction.definition,
        "from": fraction.period.start.isoformat(),
        "to": fraction.period.end.isoformat(),
    }
