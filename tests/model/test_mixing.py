"""Parts of another draft taken over: in random small kitchens under both rule books."""

from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.expand import expanded
from scheduler.model.mixing import Mixing
from scheduler.model.runs import day_of_start
from scheduler.model.solve import Effort
from scheduler.model.windows import Windows
from scheduler.prepare import problem
from scheduler.problem import Draft, Problem
from scheduler.scenario import load
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth
from tests.strategies import kitchens

LIGHT = Effort(seconds=60, work=0.05)
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


def mixing(week: Problem, seed: int = 1) -> Mixing:
    random = Random(seed)
    ruin = Ruin(week, random)
    return Mixing(week, ruin, random, Windows(week, ruin, random))


def elsewhere(week: Problem, seed: int) -> Draft:
    """A draft that chance has made of the whiteboard."""
    now, ruin = whiteboard(week), Ruin(week, Random(seed))
    for _ in range(20):
        now = ruin.step(now) or now
    return now


def places(week: Problem, chosen: Mixing, draft: Draft) -> set[object]:
    """On which day each lot is in which of the dryers that are alike."""
    return {
        (charge.lot, day_of_start(week, run), chosen.windows.relaxed.alike(run.dryer))
        for run in draft.runs
        for charge in run.charges
    }


def sizes(draft: Draft) -> set[tuple[int, int]]:
    return {(charge.lot, charge.recipe.racks) for run in draft.runs for charge in run.charges}


@settings(SLOW, max_examples=20)
@given(kitchens(), st.sampled_from([FULL, FULL, SIMPLE]), st.integers(0, 99))
def test_what_is_mixed_holds_is_no_worse_and_lies_where_one_of_the_two_has_it(
    asked: Asked, rules: RuleBook, seed: int
) -> None:
    week = problem(asked, rules)
    chosen, draft, other = mixing(week, seed), whiteboard(week), elsewhere(week, seed)
    for _ in range(3):
        found = chosen.improved(draft, other, LIGHT)
        if found is None:
            continue
        assert worth(week, found) >= worth(week, draft)
        assert verify(asked, expanded(asked, week, found), rules) == ()
        either = places(week, chosen, draft) | places(week, chosen, other)
        assert places(week, chosen, found) <= either
        if not rules.easier:
            assert sizes(found) <= sizes(draft) | sizes(other)
        draft = found


def test_what_the_other_alone_has_is_taken_over() -> None:
    week = problem(load("spring_day"))
    whole = whiteboard(week)
    for lot in {lot for lot, _ in sizes(whole)}:
        chosen = mixing(week)
        less = chosen.ruin.rebuilt(whole, {lot}).draft()
        assert worth(week, less) < worth(week, whole)
        found = chosen.improved(less, whole, LIGHT)
        assert found is not None
        assert sizes(found) == sizes(whole)


def test_a_draft_has_nothing_to_take_over_from_itself() -> None:
    week = problem(load("spring_day"))
    draft = whiteboard(week)
    chosen = mixing(week)
    before = chosen.weight
    assert chosen.improved(draft, draft, LIGHT) is None
    assert chosen.weight < before
