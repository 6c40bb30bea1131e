"""Filling the week day by day: in random small kitchens under both rule books, and in august."""

from collections.abc import Iterable
from dataclasses import replace
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
from scheduler.problem import Day, Draft, DraftCharge, DraftRun, Firm, Problem, worth
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
    """What is in which run, and how it was prepared; it may be checked and packed at other
    times."""
    return {(run.key, replace(each, check=0, pack=0)) for run in runs for each in run.charges}


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


def by_its_only_hand(firm: bool) -> tuple[Draft, Draft]:
    """Monday with a run that is out on Tuesday morning, and Tuesday filled beside it with what
    wants the hand at once."""
    over_night = tiny.Lot(1, 16, 22, "G1", drying=30)
    early = tiny.Lot(1, 26, tiny.DAY + 19, "G2")
    kitchen = tiny.Tiny(
        (over_night, early),
        dryers=(1, 1),
        hands=1,
        alone=frozenset({"G2"}),
        unloaded_within=6,
    )
    week = problem(tiny.asked(kitchen))
    monday, tuesday, _ = planned(week)
    (begun,) = day_by_day(week, Ruin(week, Random(1)), LIGHT, start=Draft(), days=[monday])
    if firm:
        week = replace(week, firm=Firm(draft=begun))
    drafts = day_by_day(week, Ruin(week, Random(1)), LIGHT, start=begun, days=[tuesday])
    return begun, next(drafts, begun)


def test_a_kept_run_is_unloaded_later_where_hands_are_wanted_first() -> None:
    begun, draft = by_its_only_hand(firm=False)
    (before,) = begun.runs
    (after,) = (run for run in draft.runs if run.key == before.key)
    assert len(draft.runs) == 2
    assert after.unload > before.unload


def test_a_firm_run_is_unloaded_when_it_was_promised() -> None:
    begun, draft = by_its_only_hand(firm=True)
    assert draft == begun


def test_a_day_is_filled_better_than_by_a_careful_hand() -> None:
    week = problem(load("spring_day"), FULL)
    ruin = Ruin(week, Random(1))
    *_, draft = day_by_day(week, ruin, Effort(60, 0.3), start=Draft(), days=planned(week))
    assert worth(week, draft) >= worth(week, whiteboard(week))
