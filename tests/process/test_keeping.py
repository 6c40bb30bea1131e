"""Keeping time by temperature."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.process import keeping
from scheduler.process.keeping import Stay
from scheduler.units import DAY, HOUR, Seconds

temperatures = st.floats(0, 35)
times = st.integers(0, 240 * HOUR).map(Seconds)


def test_the_cold_store_gives_back_the_cards_time():
    assert keeping.keeping_s(Seconds(36 * HOUR), 3, at_c=3) == 36 * HOUR


def test_ten_degrees_warmer():
    assert keeping.keeping_s(Seconds(2 * DAY), 3, at_c=13, q10=2) == DAY
    assert keeping.used_s([Stay(HOUR, 13)], 3, q10=2) == 2 * HOUR


@given(times, temperatures, st.floats(1, 20))
def test_warmer_keeps_no_longer(cold, celsius, more):
    cool, warm = (keeping.keeping_s(cold, 3, at_c=each) for each in (celsius, celsius + more))
    assert warm <= cool


@given(times, temperatures)
def test_a_stay_of_the_whole_keeping_time_uses_it_up(cold, celsius):
    stay = Stay(keeping.keeping_s(cold, 3, at_c=celsius), celsius)
    assert keeping.used_s([stay], 3) == pytest.approx(
        cold, abs=20
    )  # a second there is up to 19 here


@given(st.lists(st.builds(Stay, times, temperatures), max_size=5))
def test_stays_add_up(stays):
    apart = sum(keeping.used_s([each], 3) for each in stays)
    assert apart - len(stays) <= keeping.used_s(stays, 3) <= apart


@given(st.floats(1.5, 4), st.floats(1, 30))
def test_q10_is_found_again(q10, apart):
    assert keeping.q10_between(1, q10 ** (apart / 10), apart_c=apart) == pytest.approx(q10)
