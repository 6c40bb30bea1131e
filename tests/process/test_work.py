"""Seconds of hands."""

from hypothesis import given
from hypothesis import strategies as st

from scheduler.process import work
from scheduler.units import Grams


def test_the_tomatoes_of_the_demo():
    assert work.seconds_for(Grams(120_000), 40_000) == 3 * 3600
    assert work.packing_seconds(73, 40) == 6570


@given(st.integers(0, 10**7).map(Grams), st.integers(1, 200_000))
def test_just_enough(weight, rate):
    seconds = work.seconds_for(weight, rate)
    assert (seconds - 1) * rate < weight * 3600 <= seconds * rate
