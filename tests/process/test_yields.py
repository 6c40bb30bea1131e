"""Trimmed and dried weights, and the bags they fill."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.process import yields
from scheduler.units import Grams

weights = st.integers(0, 10**7).map(Grams)
tenths = st.integers(0, 999).map(lambda each: each / 10)


def test_exact_where_floats_are_not():
    assert yields.trimmed_g(Grams(55_000), 12) == 48_400
    assert yields.trimmed_g(Grams(1_000), 0.1) == 999
    assert yields.dried_g(Grams(48_400), 89, water_out_percent=5) == 5_604


@given(weights, tenths, tenths)
def test_mass_balance(field, loss, wet):
    prepared = yields.trimmed_g(field, loss)
    dry = min(wet, 8.0)
    dried = yields.dried_g(prepared, wet, water_out_percent=dry)
    removed = yields.water_removed_g(prepared, wet, water_out_percent=dry)
    assert dried + removed == prepared
    assert 0 <= dried <= prepared <= field
    matter_in, matter_out = prepared * (100 - wet), dried * (100 - dry)
    assert matter_out == pytest.approx(matter_in, abs=101)  # a gram rounded down, in percent-grams


@given(weights, st.integers(1, 1000).map(Grams))
def test_bags(dried, bag):
    few, many = yields.bag_range(dried, bag)
    count = yields.bags(dried, bag)
    assert few <= count <= many
    assert count * bag <= dried < (count + 1) * bag


def test_bag_range_of_thirty_percent():
    assert yields.bag_range(Grams(1_000), Grams(100)) == (7, 13)


@given(st.floats(0, 99.9))
def test_wet_and_dry_basis(percent):
    assert yields.wet_percent(yields.dry_basis(percent)) == pytest.approx(percent)
