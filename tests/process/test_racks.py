"""Racks for a weight, and a lot's weight over its racks."""

from itertools import accumulate

from hypothesis import given
from hypothesis import strategies as st

from scheduler.process import racks
from scheduler.units import Grams, Racks

weights = st.integers(0, 10**7).map(Grams)


def test_the_onions_of_the_demo():
    assert racks.rack_holds_g(3_900, 6_000) == 2_340
    assert racks.racks_needed(Grams(48_400), 3_900, rack_area_cm2=6_000) == 21


def test_a_full_rack_that_is_no_whole_number_of_grams():
    assert racks.rack_holds_g(1, 15_000) == 1
    assert racks.racks_needed(Grams(3), 1, rack_area_cm2=15_000) == 2  # not 3 of 1 g each


@given(weights, st.integers(1, 10_000), st.integers(1, 10_000))
def test_racks_hold_it_and_one_fewer_would_not(prepared, density, area):
    needed = racks.racks_needed(prepared, density, rack_area_cm2=area)
    assert prepared * 10_000 <= needed * density * area
    assert needed == 1 or (needed - 1) * density * area < prepared * 10_000


@given(weights, st.lists(st.integers(1, 40), min_size=1, max_size=4))
def test_shares_add_up(total, charges):
    every = sum(charges)
    before = [0, *accumulate(charges)]
    shares = [
        racks.share_g(total, Racks(own), of_racks=Racks(every), before_racks=first)
        for own, first in zip(charges, before, strict=False)
    ]
    assert sum(shares) == total
    assert all(
        abs(each * every - total * own) < every for each, own in zip(shares, charges, strict=True)
    )
