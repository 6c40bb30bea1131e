"""When a run may start on a free dryer: found by masks, held against the rules tick by tick."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.prepare import problem
from scheduler.problem import DryerSpec, Problem
from scheduler.whiteboard.calendars import Calendars
from tests import builders
from tests.builders import WEEK, weekly
from tests.strategies import kitchens


def may_start(week: Problem, dryer: DryerSpec, start: int, drying: int) -> bool:
    """Rules 1 to 3 as they read, and outages."""
    day, end = week.day_of(start), start + drying
    if start < week.now or not any(d.plans and d.open <= start <= d.close for d in week.days):
        return False
    if day is None or week.staffed_time(start) < dryer.free_from or not week.legal_end(end, dryer):
        return False
    if not dryer.unattended and drying > week.staffed_time(end) - week.staffed_time(start):
        return False
    busy_to = (week.release(end) or end) + dryer.unload
    return all(busy_to <= stops or back <= start for stops, back in dryer.down)


def masks_are_the_rules(week: Problem, drying: int) -> None:
    for dryer in week.dryers:
        mask = Calendars(week).legal_starts(dryer, drying)
        wanted = {at for at in range(week.horizon) if may_start(week, dryer, at, drying)}
        assert {at for at in range(mask.bit_length()) if mask >> at & 1} == wanted


@given(kitchens(), st.sampled_from((FULL, SIMPLE)), st.integers(1, 400))
def test_legal_starts_are_those_of_the_rules(asked: Asked, rules: RuleBook, drying: int):
    masks_are_the_rules(problem(asked, rules), drying)


def test_a_run_may_not_end_on_the_midnight_that_opens_the_next_week():
    night_and_day = builders.kitchen(
        staffed=weekly("Mon Tue Wed Thu Fri Sat Sun", "00:00", "00:00"),
        dryers=(builders.dryer("D1", unload_s=0),),
    )
    asked = Asked("small", "Small", night_and_day, WEEK, (), (), ())
    masks_are_the_rules(problem(asked, SIMPLE), drying=1)
