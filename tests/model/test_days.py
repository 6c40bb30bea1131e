"""Filling the week day by day: in random small kitchens under both rule books, and in august."""

from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.expand import expanded
from scheduler.model.days import day_by_day
from scheduler.model.master import Master
from scheduler.model.solve import Effort
from scheduler.prepare import problem
from scheduler.problem import Draft, worth
from scheduler.scenario import load
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from tests.strategies import kitchens

LIGHT = Effort(seconds=60, work=0.05)
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


@settings(SLOW, max_examples=40)
@given(kitchens(), st.sampled_from([FULL, FULL, SIMPLE]), st.integers(0, 99))
def test_every_day_adds_to_a_plan_that_holds(asked: Asked, rules: RuleBook, seed: int) -> None:
    week = problem(asked, rules)
    bound = Master(week).bound(60)
    assert bound is not None
    reached = 0
    for draft in day_by_day(week, Ruin(week, Random(seed)), LIGHT, start=Draft()):
        assert verify(asked, expanded(asked, week, draft), rules) == ()
        assert reached <= worth(week, draft) <= bound
        reached = worth(week, draft)


@settings(SLOW, max_examples=20)
@given(kitchens(), st.integers(0, 99))
def test_what_stands_already_stays(asked: Asked, seed: int) -> None:
    week = problem(asked, FULL)
    by_hand = whiteboard(week)
    half = Draft(by_hand.runs[: len(by_hand.runs) // 2])
    for draft in day_by_day(week, Ruin(week, Random(seed)), LIGHT, start=half):
        placed = {(run.key, charge) for run in draft.runs for charge in run.charges}
        assert {(run.key, charge) for run in half.runs for charge in run.charges} <= placed


def test_a_day_is_filled_better_than_by_a_careful_hand() -> None:
    week = problem(load("spring_day"), FULL)
    *_, draft = day_by_day(week, Ruin(week, Random(1)), Effort(60, 0.3), start=Draft())
    assert worth(week, draft) >= worth(week, whiteboard(week))
