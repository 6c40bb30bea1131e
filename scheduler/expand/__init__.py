"""From a draft to the plan and back: letters, weights, places, baskets, rack positions and names
of hands."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.expand.back import Back, draft_of
from scheduler.expand.beside import Beside, in_place, taken_by
from scheduler.expand.places import can_be_placed
from scheduler.expand.runs import waiting
from scheduler.problem import Draft, Lot, Problem

__all__ = ["Back", "added", "can_be_placed", "draft_of", "expanded", "taken_by"]


def expanded(asked: Asked, problem: Problem, draft: Draft) -> Plan:
    """The whole plan that a draft stands for, the problem's firm lots as in the posted plan, with
    the promised notes that are moved; BrokenPromise where places or hands do not suffice."""
    old = asked.promised.plan or _nothing(asked, problem)
    full = Beside(asked, problem, draft, old)
    plan = Plan(
        week=asked.week,
        rules=problem.rules.name,
        runs=full.runs,
        duties=full.duties() if problem.rules.hands else (),
        waiting=tuple(each for lot in problem.lots for each in waiting(lot, full.runs)),
        part_lots=old.part_lots,
    )
    moved = tuple(each for each in problem.firm.moved if not in_place(old, plan, each.note_id))
    return replace(plan, moved=moved)


def added(asked: Asked, problem: Problem, plan: Plan, *, draft: Draft, lot: Lot) -> Plan:
    """The plan, which is all firm, with the lot's charges as the draft has them beside its own.

    Proof and seed are left out: they were the plan's alone. BrokenPromise as in expanded.
    """
    full = Beside(asked, problem, draft, plan)
    return replace(
        plan,
        runs=full.runs,
        duties=full.duties() if problem.rules.hands else plan.duties,
        waiting=(
            *(each for each in plan.waiting if each.note_id != lot.note_id),
            *waiting(lot, full.runs),
        ),
        proof=None,
        seed=None,
        work=None,
    )


def _nothing(asked: Asked, problem: Problem) -> Plan:
    return Plan(asked.week, problem.rules.name, runs=(), duties=())
