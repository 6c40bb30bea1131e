"""Days settled for the later goals: in random small kitchens, and in a week with room to spare."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.expand import expanded
from scheduler.home import Home
from scheduler.merit import merit
from scheduler.model.search import Limits, run
from scheduler.model.settle import Settling
from scheduler.model.solve import Effort
from scheduler.prepare import problem
from scheduler.problem import Draft, Problem
from scheduler.scenario import load
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from tests.strategies import kitchens

LIGHT = Effort(seconds=60, work=0.1)
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


def settling(week: Problem) -> Settling:
    return Settling(week, Ruin(week, Random(1)))


def sizes(week: Problem, draft: Draft) -> list[list[int]]:
    """By lot, how large its charges are."""
    found: list[list[int]] = [[] for _ in week.lots]
    for each in draft.runs:
        for charge in each.charges:
            found[charge.lot].append(charge.recipe.racks)
    return [sorted(racks) for racks in found]


@settings(SLOW, max_examples=8)
@given(kitchens(), st.sampled_from([FULL, FULL, SIMPLE]))
def test_no_charge_changes_its_size_and_no_plan_is_worse(asked: Asked, rules: RuleBook) -> None:
    week = problem(asked, rules)
    days, draft = settling(week), whiteboard(week)
    for day in days.days():
        found = days.settled(draft, day, LIGHT)
        if found is not None:
            assert sizes(week, found) == sizes(week, draft)
            assert verify(asked, expanded(asked, week, found), rules) == ()
            draft = max(draft, found, key=lambda each: merit(week, each))
    assert merit(week, draft) >= merit(week, whiteboard(week))


def settled(week: Problem, draft: Draft) -> Draft:
    """Every day of a draft, one after another."""
    days = settling(week)
    for day in days.days():
        draft = days.settled(draft, day, LIGHT) or draft
    return draft


def test_what_waits_without_need_is_started_sooner() -> None:
    week = problem(load("spring_day"), FULL)
    plan = whiteboard(week)
    found = settled(week, plan)
    assert merit(week, found)[0] == merit(week, plan)[0]
    assert merit(week, found)[1] > merit(week, plan)[1]


def test_in_a_mend_turns_are_left_where_they_are() -> None:
    week = problem(load("spring_day"), FULL)
    assert settling(week).days()
    assert not settling(replace(week, home=Home({}, {}))).days()


def test_who_ends_it_while_days_are_settled_keeps_the_best(monkeypatch: pytest.MonkeyPatch) -> None:
    def pressed(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Settling, "settled", pressed)
    week = problem(load("spring_day"), FULL)
    found = run(week, Limits(seconds=None, work=1, workers=1))
    assert found.stopped
    assert found.draft == whiteboard(week)


def test_a_search_that_has_proved_its_worth_still_settles_the_days() -> None:
    week = problem(load("spring_day"), FULL)
    found = run(week, Limits(seconds=None, work=1, workers=1))
    assert found.bound_g == merit(week, found.draft)[0]
    assert merit(week, found.draft) >= merit(week, settled(week, whiteboard(week)))
