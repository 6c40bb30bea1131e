"""Who moves: every day that a grower is in the kitchen, as her calendar has it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from scheduler import prepare
from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Plan
from scheduler.expand import expanded
from scheduler.re_lay.moves import Weighing, moves_between
from scheduler.scenario import load
from scheduler.whiteboard import whiteboard

AUGUST = load("august")
LATER = timedelta(minutes=20)
BEFORE = datetime.fromisoformat("2026-08-17T00:00-04:00")


@pytest.fixture(scope="module")
def plan() -> Plan:
    problem = prepare.problem(AUGUST)
    return expanded(AUGUST, problem, whiteboard(problem))


def of_two_days(plan: Plan) -> Charge:
    """A charge that is washed in the evening and cut the next morning."""
    return next(
        charge
        for _, charge in plan.charges()
        if charge.preparation
        and charge.preparation.cut.start - charge.preparation.wash.end > timedelta(hours=6)
    )


def changed(plan: Plan, code: str, change: Callable[[Charge], Charge]) -> Plan:
    runs = (
        replace(run, charges=tuple(change(e) if e.code == code else e for e in run.charges))
        for run in plan.runs
    )
    return replace(plan, runs=tuple(runs))


def cut_later(charge: Charge) -> Charge:
    made = charge.preparation
    assert made
    cut = Span(made.cut.start + LATER, made.cut.end + LATER)
    return replace(charge, preparation=replace(made, cut=cut))


def test_a_second_day_that_moves_is_told(plan: Plan):
    own = of_two_days(plan)
    after = changed(plan, own.code, cut_later)
    (move,) = moves_between(plan, after, weighing=Weighing(AUGUST, BEFORE), why={})
    made = own.preparation
    assert made
    assert move.was
    assert move.now
    assert (move.note_id, move.kind) == (own.note_id, "bringing")
    assert (move.was.start, move.now.start) == (made.cut.start, made.cut.start + LATER)


def test_cutting_later_on_the_day_of_washing_moves_nobody(plan: Plan):
    own = next(
        charge
        for _, charge in plan.charges()
        if charge.preparation and charge.preparation.cut.start == charge.preparation.wash.end
    )
    after = changed(plan, own.code, cut_later)
    assert moves_between(plan, after, weighing=Weighing(AUGUST, BEFORE), why={}) == ()
