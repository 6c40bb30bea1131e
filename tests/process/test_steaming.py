"""Steam loads."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.process import steaming
from scheduler.units import Grams, Seconds


@pytest.mark.parametrize(("loose", "load"), [(400, 12_000), (500, 12_000), (150, 4_500)])
def test_weight_binds_cut_food_and_depth_binds_leaves(loose, load):
    assert steaming.load_g(Grams(12_000), 6_000, depth_mm=50, loose_g_per_l=loose) == load


def test_a_load_is_steam_and_handling():
    assert steaming.load_seconds(Seconds(150), Seconds(360)) == 510


@given(st.integers(1, 10**6).map(Grams), st.integers(1_000, 20_000).map(Grams))
def test_equal_loads(prepared, load):
    count = steaming.loads_needed(prepared, load)
    loads = steaming.equal_loads(prepared, count)
    assert len(loads) == count
    assert sum(loads) == prepared
    assert max(loads) <= load
    assert max(loads) - min(loads) <= 1
    assert (count - 1) * load < prepared
