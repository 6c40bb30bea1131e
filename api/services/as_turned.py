"""A posted plan with its packing turns where they have been moved to since."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from api.records.plans import STANDS, KeptPlan, KeptTurn
from api.services.ports import Book
from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Plan

Turned = Mapping[str, KeptTurn]  # by code of the charge


def as_turned(book: Book, kept: KeptPlan) -> KeptPlan:
    """The same plan, packed when the book has it; a plan that is not posted has no turns."""
    if kept.state != "posted":
        return kept
    turns = book.turns.where(week=kept.plan.week, kind="packing", state=STANDS)
    moved = {each.subject: each for each in turns if each.sequence}
    return replace(kept, plan=_moved(kept.plan, moved)) if moved else kept


def _moved(plan: Plan, turns: Turned) -> Plan:
    runs = tuple(
        replace(run, charges=tuple(_packed(each, turns) for each in run.charges))
        for run in plan.runs
    )
    return plan if runs == plan.runs else replace(plan, runs=runs)


def _packed(charge: Charge, turns: Turned) -> Charge:
    turn = turns.get(charge.code)
    if turn is None or charge.after is None:
        return charge
    return replace(charge, after=replace(charge.after, packing=Span(turn.start, turn.end)))
