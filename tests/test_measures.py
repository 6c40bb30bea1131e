"""How full the week is: fractions against figures reckoned by hand or printed elsewhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.outage import Happened, Outage, StartedCharge, StartedRun
from scheduler.domain.plan import Plan, Preparation, TablePlace
from scheduler.measures import lost, measure, open_period, rescued
from scheduler.scenario import load
from scheduler.units import HOUR, Racks
from tests.printed_plan import printed_plan


@pytest.fixture(scope="module")
def august() -> Asked:
    return load("august")


@pytest.fixture(scope="module")
def plan(august: Asked) -> Plan:
    return printed_plan(august)


def test_printed_plan_gives_its_printed_rack_hours(august: Asked, plan: Plan):
    use = measure(august, plan).rack_use
    assert (use.numerator_s, use.denominator_s) == (5_909 * HOUR, 11_592 * HOUR)
    assert round(use.share, 2) == 0.51


def test_printed_plan_gives_its_printed_shares(august: Asked, plan: Plan):
    found = measure(august, plan)
    shares = {each.dryer_id: round(100 * each.occupied.share) for each in found.dryers}
    assert shares == {"D1": 57, "D2": 54, "D3": 63, "D4": 25}
    assert round(found.fill.share, 2) == 0.93


def test_period_is_first_opening_to_last_closing(august: Asked):
    assert open_period(august) == Span(
        datetime(2026, 8, 17, 11, tzinfo=UTC), datetime(2026, 8, 22, 17, tzinfo=UTC)
    )


def test_cool_hold_is_not_counted(august: Asked, plan: Plan):
    longer = tuple(replace(run, released=run.released + timedelta(hours=1)) for run in plan.runs)
    assert measure(august, replace(plan, runs=longer)) == measure(august, plan)


def test_hours_outside_the_period_are_not_counted(august: Asked, plan: Plan):
    run = plan.runs[0]
    late = replace(run, start=open_period(august).end, end=open_period(august).end + 3 * HOUR_SPAN)
    assert measure(august, replace(plan, runs=(late,))).rack_use.numerator_s == 0


HOUR_SPAN = timedelta(hours=1)


def test_dryers_add_up_to_the_kitchen(august: Asked, plan: Plan):
    found = measure(august, plan)
    assert sum(each.rack_use.numerator_s for each in found.dryers) == found.rack_use.numerator_s
    assert sum(each.occupied.denominator_s for each in found.dryers) == 4 * 126 * HOUR


def test_table_hours_are_not_told_where_none_were_laid_out(august: Asked, plan: Plan):
    assert measure(august, plan).table_hours is None
    assert len(measure(august, plan).four) == 3


def test_table_hours_count_every_table_of_a_cut(august: Asked, plan: Plan):
    run = plan.runs[0]
    cut = Span(run.start - 2 * HOUR_SPAN, run.start - HOUR_SPAN)
    tables = (TablePlace("T1", "grower"), TablePlace("T2", "hands"))
    made = Preparation("W1", cut, cut, tables, (), run.start)
    prepared = replace(run, charges=(replace(run.charges[0], preparation=made),))
    hours = measure(august, replace(plan, runs=(prepared,))).table_hours
    assert hours is not None
    assert (hours.numerator, hours.denominator) == (2, 3 * 66)


def test_a_plan_without_runs_uses_nothing(august: Asked, plan: Plan):
    found = measure(august, replace(plan, runs=()))
    assert [each.share for each in found.four] == [0, 0, 0, 0]


def test_a_started_run_counts_until_its_dryer_stops(august: Asked, plan: Plan):
    start = datetime(2026, 8, 18, 15, 15, tzinfo=UTC)
    run = StartedRun("D3", 57, start, start + 15 * HOUR_SPAN, (StartedCharge("R09", Racks(40)),))
    stop = Outage("D3", start + 11 * HOUR_SPAN, None)
    empty = replace(plan, runs=())
    whole = replace(august, happened=Happened(runs=(run,)))
    stopped = replace(august, happened=Happened(runs=(run,), outages=(stop,)))
    assert measure(whole, empty).rack_use.numerator == 40 * 15
    assert measure(stopped, empty).rack_use.numerator == 40 * 11


def test_rescued_of_the_printed_plan(august: Asked, plan: Plan):
    found = rescued(august, plan)
    assert (found.placed_notes, found.part_placed_notes, found.asked_notes) == (24, 0, 26)
    assert (found.placed_field_g, found.asked_field_g) == (1_380_000, 1_447_000)
    assert found.asked_prepared_g == pytest.approx(1_208_000, abs=500)  # printed as 1,208 kg


def test_a_note_with_half_its_racks_is_part_placed(august: Asked, plan: Plan):
    less = tuple(run for run in plan.runs if run.charges[0].code != "R04 A")
    found = rescued(august, replace(plan, runs=less))
    assert (found.placed_notes, found.part_placed_notes) == (23, 1)
    assert found.placed_field_g == 1_340_000


def test_lots_under_way_ask_no_more():
    down = load("dryer_down")
    found = rescued(down, Plan(down.week, "full", runs=(), duties=()))
    assert (found.asked_notes, found.asked_field_g) == (18, 854_000)  # as printed


def test_a_week_without_opening_has_no_measure(august: Asked, plan: Plan):
    closed = replace(august, kitchen=replace(august.kitchen, staffed=()))
    with pytest.raises(ValueError, match="closed all of 2026-W34"):
        measure(closed, plan)


def test_stops_take_dryer_hours_and_rack_hours(august: Asked):
    period = open_period(august)
    stops = (
        Outage("D3", period.start + timedelta(hours=10), period.start + timedelta(hours=20)),
        Outage("D3", period.start + timedelta(hours=15), None),  # told again while it was down
        Outage("D4", period.start - timedelta(hours=5), period.start + timedelta(hours=1)),
        Outage("S1", period.start, None),
    )
    dryers, racks = lost(august.kitchen, stops, period, until=period.start + timedelta(hours=22))
    assert (dryers.numerator, dryers.denominator) == (13, 504)
    assert (racks.numerator, racks.denominator) == (12 * 40 + 12, 11_592)


def test_a_stop_to_come_has_taken_nothing(august: Asked):
    period = open_period(august)
    stops = (Outage("D3", period.start + timedelta(hours=10), None),)
    assert lost(august.kitchen, stops, period, until=period.start)[0].numerator_s == 0
