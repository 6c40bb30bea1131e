"""A posted plan with its packing turns where they have been moved to since, or called off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from api.records.plans import STANDS, KeptPlan, KeptTurn
from api.services.ports import Book
from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Plan

Turned = Mapping[str, KeptTurn]  # by code of the charge


def as_turned(book: Book, kept: KeptPlan) -> KeptPlan:
    """The same plan, packed when the book has it, with what was called off; a plan that is not
    posted has no turns."""
    if kept.state != "posted":
        return kept
    turns = book.turns.where(week=kept.plan.week, kind="packing")
    standing = {each.subject: each for each in turns if each.state in STANDS}
    moved = {code: each for code, each in standing.items() if each.sequence}
    called_off = frozenset(each.subject for each in turns) - set(standing)
    plan = _moved(kept.plan, moved) if moved else kept.plan
    return replace(kept, plan=plan, called_off=called_off)


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
