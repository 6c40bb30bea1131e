"""Laws of mending, in random small kitchens: every rule kept, never less than what still stands."""

from __future__ import annotations

from random import Random

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from scheduler.re_lay import Limits, re_laid
from scheduler.weeks import small_kitchen
from tests.bench.disturbances import disturbed, faults_of, posted

LIMITS = Limits(seconds=None, work=0.05, workers=1)


@settings(deadline=None, max_examples=12, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 10_000), st.integers(0, 10_000))
def test_whatever_goes_wrong_is_mended_by_the_rules(week: int, chance: int):
    asked = small_kitchen(week)
    plan = posted(asked)
    assume(plan.runs)
    case = disturbed(asked, plan, Random(chance))
    found = re_laid(case.asked, case.plan, case.now, limits=LIMITS)
    assert list(faults_of(case, found)) == []
