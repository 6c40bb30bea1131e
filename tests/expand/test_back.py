"""A plan turned back into its draft expands to the same plan again."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL, SIMPLE, SWITCHES, RuleBook, less
from scheduler.errors import StalePlan
from scheduler.expand import draft_of, expanded
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.units import Grams
from scheduler.weeks import week
from scheduler.whiteboard import whiteboard
from tests.strategies import kitchens

BOOKS = st.sampled_from([FULL, FULL, FULL, SIMPLE, *map(less, SWITCHES)])


def there_and_back(asked: Asked, rules: RuleBook) -> None:
    made = problem(asked, rules)
    plan = expanded(asked, made, whiteboard(made))
    assert expanded(asked, made, draft_of(made, plan)) == plan


@pytest.mark.parametrize("rules", [FULL, SIMPLE, less("steamers")], ids=lambda rules: rules.name)
@pytest.mark.parametrize("name", ["august", "dryer_down", "glut", "spring_day"])
def test_there_and_back_in_every_scenario(name: str, rules: RuleBook):
    there_and_back(load(name), rules)


@settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=80)
@given(kitchens(), BOOKS)
def test_there_and_back_in_small_kitchens(asked: Asked, rules: RuleBook) -> None:
    there_and_back(asked, rules)


def test_there_and_back_where_steamers_are_alike():
    there_and_back(week(1, lots=30, dryers=8), FULL)
    there_and_back(week(1, lots=30, dryers=8), less("steamers"))


def spring() -> tuple[Asked, Plan]:
    asked = load("spring_day")
    week = problem(asked)
    return asked, expanded(asked, week, whiteboard(week))


def test_only_the_sizes_in_use_are_needed():
    asked, plan = spring()
    sizes = {charge.note_id: frozenset([charge.racks]) for _, charge in plan.charges()}
    week = problem(asked, sizes=sizes)
    assert expanded(asked, week, draft_of(week, plan)) == plan
    assert [set(lot.sizes) for lot in week.lots] == [sizes[lot.note_id] for lot in week.lots]


def _let_go(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    return replace(asked, notes=asked.notes[1:]), plan


def _heavier(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    first, *others = asked.notes
    return replace(asked, notes=(replace(first, field_g=Grams(4 * first.field_g)), *others)), plan


def _dryer_gone(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    used = plan.runs[0].dryer_id
    dryers = tuple(each for each in asked.kitchen.dryers if each.id != used)
    return replace(asked, kitchen=replace(asked.kitchen, dryers=dryers)), plan


def _off_the_grid(asked: Asked, plan: Plan) -> tuple[Asked, Plan]:
    first, *others = plan.runs
    late = replace(first, start=first.start + timedelta(seconds=1))
    return asked, replace(plan, runs=(late, *others))


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        (_let_go, "does not ask for a place"),
        (_heavier, "can no longer be prepared"),
        (_dryer_gone, "has no dryer"),
        (_off_the_grid, "off the five-minute grid"),
    ],
)
def test_a_stale_plan_says_why(changed, why: str):
    asked, plan = changed(*spring())
    with pytest.raises(StalePlan, match=why):
        draft_of(problem(asked), plan)
