"""Hours of drying, moved to other conditions."""

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.process import drying
from scheduler.process.drying import Conditions, Known
from tests.process.demo import CARD

TOMATO = Known(hours=15, celsius=57, water_in_percent=94, water_out_percent=8)  # demo
temperatures = st.floats(35, 70)


@given(st.floats(0.5, 100), temperatures, st.floats(50, 97), st.floats(2, 20))
def test_the_card_gives_back_its_own_hours(hours, celsius, wet, dry):
    known = Known(hours, celsius, wet, dry)
    whole = drying.drying_hours(known, Conditions(celsius))
    assert whole.likely == hours
    assert (whole.low, whole.high) == pytest.approx((hours * 8 / 11, hours * 14 / 11))


@given(temperatures, st.floats(1, 10))
def test_hotter_is_faster(celsius, more):
    cool, hot = (
        drying.drying_hours(TOMATO, Conditions(each)) for each in (celsius, celsius + more)
    )
    assert hot.likely < cool.likely
    assert cool.low < cool.likely < cool.high


@given(temperatures)
def test_away_from_the_card_we_know_less(celsius):
    there, here = (drying.drying_hours(TOMATO, Conditions(each)) for each in (celsius, 57))
    assert there.high / there.low >= here.high / here.low * (1 - 1e-12)


def test_what_a_card_says():
    assert Known.of(CARD) == Known(10, 57, 95, 5)


def test_twice_as_thick_takes_four_times_as_long():
    assert drying.drying_hours(TOMATO, Conditions(57, thickness=2)).likely == 60


def test_damp_air_takes_longer_and_at_last_for_ever():
    assert drying.drying_hours(TOMATO, Conditions(57, equilibrium=0.05)).likely > 15
    with pytest.raises(ValueError, match="never becomes as dry"):
        drying.drying_hours(TOMATO, Conditions(57, equilibrium=0.09))


@given(st.floats(0, 15), temperatures, st.floats(0, 0.08))
def test_time_run_and_time_left_make_the_whole(hours, celsius, equilibrium):
    at = Conditions(celsius, equilibrium=equilibrium)
    whole = drying.drying_hours(TOMATO, at).likely
    run = min(hours, whole)
    wet = drying.water_percent_after(run, TOMATO, at).likely
    assert drying.hours_left(TOMATO, at, water_percent=wet).likely == pytest.approx(
        whole - run, abs=1e-6
    )


def test_moisture_at_both_ends_of_a_run():
    at = Conditions(57)
    assert drying.water_percent_after(0, TOMATO, at).high == pytest.approx(94)
    after = drying.water_percent_after(15, TOMATO, at)
    assert after.low < after.likely == pytest.approx(8)
    assert after.high > 8


def test_what_is_dry_needs_no_more():
    assert drying.hours_left(TOMATO, Conditions(57), water_percent=5) == drying.Range(0, 0, 0)


def test_the_stopped_tomatoes_of_the_demo():
    """10 h 55 min of 15 done: the demo's people reckon 5 hours more, inside what we say."""
    at = Conditions(57)
    wet = drying.water_percent_after(10 + 55 / 60, TOMATO, at)
    left = drying.hours_left(TOMATO, at, water_percent=wet.likely)
    assert left.likely == pytest.approx(4 + 5 / 60)
    assert left.low < 5 < left.high


def test_rate_between_two_temperatures():
    """Half the rate is 1/T further by R ln 2 / E."""
    twice = drying.rate_ratio(30, 40, to_c=40)
    assert twice == 1
    warm = 1 / (1 / 313.15 - drying.GAS_CONSTANT * log(2) / 30) - 273.15
    assert drying.rate_ratio(30, 40, to_c=warm) == pytest.approx(2)


def test_time_to_a_ratio():
    assert drying.time_to(0.5, lambda t: drying.lewis(t, 0.1), most=50) == pytest.approx(
        10 * log(2)
    )
    with pytest.raises(ValueError, match="still above"):
        drying.time_to(0.1, lambda t: drying.logarithmic(t, 1, a=0.8, c=0.2), most=1000)
