"""Steamers, tables, hands and power, against the plan's own lines and the verifier's reckoning."""

from __future__ import annotations

from datetime import timedelta

import pytest

from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL
from scheduler.in_use import (
    QUARTER,
    hands_at_work,
    hands_on_shift,
    power_drawn,
    stations_in_use,
    steps,
)
from scheduler.measures import measure
from scheduler.scenario import load
from scheduler.units import HOUR
from scheduler.verify import power, reading
from tests.answer.posted import posted
from tests.builders import at
from tests.printed_plan import printed_plan

AUGUST = load("august")


@pytest.fixture(scope="module")
def plan() -> Plan:
    return posted(AUGUST)


def test_tables_add_up_to_the_weeks_pair_hours(plan: Plan):
    tables = [each for each in stations_in_use(AUGUST, plan) if each.kind == "table"]
    assert [each.station_id for each in tables] == [each.id for each in AUGUST.kitchen.tables]
    worked = sum(use.seconds for each in tables for use in each.uses)
    found = measure(AUGUST, plan).table_hours
    assert found is not None
    assert worked == found.numerator_s > 0


def test_steamers_are_in_use_as_long_as_their_loads_last(plan: Plan):
    steamers = [each for each in stations_in_use(AUGUST, plan) if each.kind == "steamer"]
    loads = [load for _, charge in plan.charges() if charge.preparation
             for load in charge.preparation.steam_loads]  # fmt: skip
    assert loads
    for each in steamers:
        own = [Span(load.start, load.end) for load in loads if load.steamer_id == each.station_id]
        assert sum(use.seconds for use in each.uses) == sum(span.seconds for span in own)
        assert not own or len(each.uses) < len(own)  # loads that follow each other are one
        gaps = (use.span.seconds - use.seconds for use in each.uses)
        assert all(0 <= gap < 300 * len(own) for gap in gaps)
        ends = [use.span.end for use in each.uses]
        assert all(end <= use.span.start for end, use in zip(ends, each.uses[1:], strict=False))


def test_hands_at_work_are_those_with_a_duty_and_never_more_than_are_on_shift(plan: Plan):
    hands = {hand.name for hand in AUGUST.kitchen.hands}
    busy = hands_at_work(AUGUST, plan)
    duties = [duty for duty in plan.duties if duty.who in hands]
    assert sum(step.span.seconds * step.amount for step in busy) == sum(
        duty.span.seconds for duty in duties
    )
    shifts = hands_on_shift(AUGUST)
    for step in busy:
        on = [shift for shift in shifts if shift.span.overlaps(step.span)]
        assert 0 < step.amount <= min(shift.amount for shift in on)
        assert on[0].span.start <= step.span.start
        assert step.span.end <= on[-1].span.end


@pytest.mark.parametrize("rules", ["full", "simple"])
def test_power_is_what_the_verifier_reckons(plan: Plan, rules: str):
    made = plan if rules == "full" else printed_plan(AUGUST)
    theirs = power._drawn(reading.Reading.of(AUGUST, made, rules=FULL))
    ours = {step.span.start: step.amount for step in power_drawn(AUGUST, made)}
    assert len(ours) > 200
    assert ours == pytest.approx(
        {power._instant(each): drawn / 100 for each, drawn in theirs.items() if drawn}
    )
    assert max(ours.values()) <= AUGUST.kitchen.limits.supply_watts
    assert all(step.span.end - step.span.start == QUARTER for step in power_drawn(AUGUST, made))


def test_steps_add_up_what_overlaps_and_leave_out_what_is_nothing():
    found = steps(
        [(Span(at("Mon 08:00"), at("Mon 10:00")), 1), (Span(at("Mon 09:00"), at("Mon 12:00")), 2),
         (Span(at("Mon 13:00"), at("Mon 14:00")), 1)]
    )  # fmt: skip
    told = [(step.span.start, step.span.seconds / HOUR, step.amount) for step in found]
    eight = at("Mon 08:00")
    hours = timedelta(hours=1)
    assert told == [(eight, 1, 1), (eight + hours, 1, 3), (eight + 2 * hours, 2, 2),
                    (eight + 5 * hours, 1, 1)]  # fmt: skip
