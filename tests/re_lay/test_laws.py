"""Laws of mending, in random small kitchens: every rule kept, never less than what still stands."""

from __future__ import annotations

from datetime import datetime
from random import Random

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from scheduler.domain.plan import Plan
from scheduler.re_lay import Limits, re_laid
from scheduler.turns import turns_of
from scheduler.weeks import small_kitchen
from tests.bench.disturbances import Disturbed, disturbed, faults_of, posted

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
    for mend in filter(None, (found.small, found.whole)):
        told = {each.note_id for each in mend.moves if each.kind == "bringing"}
        before, after = (brings_to_come(case, plan) for plan in (case.plan, mend.plan))
        assert {note_id for note_id, _ in before ^ after} == told


def brings_to_come(case: Disturbed, plan: Plan) -> set[tuple[str, datetime]]:
    """As calendars have them, of notes that still ask."""
    asks = {note.id for note in case.asked.open_notes()}
    return {
        (turn.note_id, turn.start)
        for turn in turns_of(case.asked, plan, at=case.now)
        if turn.kind == "bringing" and turn.start >= case.now and turn.note_id in asks
    }
