"""When a run may start on a free dryer: found by masks, held against the rules tick by tick."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.prepare import problem
from scheduler.problem import DryerSpec, Problem
from scheduler.whiteboard.board import Calendars
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


@given(kitchens(), st.sampled_from((FULL, SIMPLE)), st.integers(1, 400))
def test_legal_starts_are_those_of_the_rules(asked: Asked, rules: RuleBook, drying: int):
    week = problem(asked, rules)
    for dryer in week.dryers:
        mask = Calendars(week).legal_starts(dryer, drying)
        wanted = {at for at in range(week.horizon) if may_start(week, dryer, at, drying)}
        assert {at for at in range(mask.bit_length()) if mask >> at & 1} == wanted
