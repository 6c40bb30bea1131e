"""Filling the week day by day: in random small kitchens under both rule books, and in august."""

from collections.abc import Iterable
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
from scheduler.problem import Day, Draft, DraftCharge, DraftRun, Problem, worth
from scheduler.scenario import load
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from tests import tiny
from tests.strategies import kitchens

LIGHT = Effort(seconds=60, work=0.05)
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


def planned(week: Problem) -> list[Day]:
    return [day for day in week.days if day.plans]


def placed(runs: Iterable[DraftRun]) -> set[tuple[object, DraftCharge]]:
    return {(run.key, charge) for run in runs for charge in run.charges}


@settings(SLOW, max_examples=40)
@given(kitchens(), st.sampled_from([FULL, FULL, SIMPLE]), st.integers(0, 99))
def test_every_day_adds_to_a_plan_that_holds(asked: Asked, rules: RuleBook, seed: int) -> None:
    week = problem(asked, rules)
    bound = Master(week).bound(60)
    assert bound is not None
    reached = 0
    ruin = Ruin(week, Random(seed))
    for draft in day_by_day(week, ruin, LIGHT, start=Draft(), days=planned(week)):
        assert verify(asked, expanded(asked, week, draft), rules) == ()
        assert reached <= worth(week, draft) <= bound
        reached = worth(week, draft)


@settings(SLOW, max_examples=20)
@given(kitchens(), st.integers(0, 99))
def test_a_day_filled_anew_is_no_worse_and_leaves_the_others_alone(asked: Asked, seed: int) -> None:
    week = problem(asked, FULL)
    by_hand = whiteboard(week)
    for day in planned(week):
        others = placed(run for run in by_hand.runs if not day.open <= run.start <= day.close)
        ruin = Ruin(week, Random(seed))
        for draft in day_by_day(week, ruin, LIGHT, start=by_hand, days=[day]):
            assert verify(asked, expanded(asked, week, draft), FULL) == ()
            assert worth(week, draft) >= worth(week, by_hand)
            assert others <= placed(draft.runs)


def test_a_lot_may_be_washed_the_evening_before() -> None:
    """It starts on Tuesday when only cutting has had time since the opening."""
    lot = tiny.Lot(1, 26, tiny.DAY + 18, drying=6)
    week = problem(tiny.asked(tiny.Tiny((lot,), dryers=(1,), shift=12, hands=3)))
    tuesday = planned(week)[1]
    (draft,) = day_by_day(week, Ruin(week, Random(1)), LIGHT, start=Draft(), days=[tuesday])
    (run,) = draft.runs
    assert tuesday.open <= run.start
    assert run.charges[0].wash < tuesday.open


def test_a_day_is_filled_better_than_by_a_careful_hand() -> None:
    week = problem(load("spring_day"), FULL)
    ruin = Ruin(week, Random(1))
    *_, draft = day_by_day(week, ruin, Effort(60, 0.3), start=Draft(), days=planned(week))
    assert worth(week, draft) >= worth(week, whiteboard(week))
