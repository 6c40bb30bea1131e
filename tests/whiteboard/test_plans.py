"""Plans by hand, and after ruin, hold in the verifier's eyes, in random small kitchens."""

from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, SWITCHES, RuleBook, less
from scheduler.expand import expanded
from scheduler.prepare import problem
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth
from tests.strategies import kitchens

BOOKS = st.sampled_from([FULL, FULL, FULL, SIMPLE, *map(less, SWITCHES)])
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


@settings(SLOW, max_examples=120)
@given(kitchens(), BOOKS)
def test_the_whiteboard_plan_holds(asked: Asked, rules: RuleBook) -> None:
    week = problem(asked, rules)
    plan = expanded(asked, week, draft := whiteboard(week))
    assert verify(asked, plan, rules) == ()
    assert plan.worth_g == worth(week, draft)


@settings(SLOW, max_examples=60)
@given(kitchens(), BOOKS, st.integers(0, 99))
def test_every_step_of_ruin_and_recreate_holds(asked: Asked, rules: RuleBook, seed: int) -> None:
    week = problem(asked, rules)
    ruin, draft = Ruin(week, Random(seed)), whiteboard(week)
    for _ in range(5):
        draft = ruin.step(draft)
        plan = expanded(asked, week, draft)
        assert verify(asked, plan, rules) == ()
        assert plan.worth_g == worth(week, draft)
