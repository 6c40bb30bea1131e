"""Months that dried food keeps."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.process import reference, storage
from scheduler.process.storage import GENERAL, Months, figures_for, months_at
from scheduler.units import celsius


def test_a_crops_own_figures_outrank_the_general_ones():
    own = months_at(celsius(70), figures_for("tomato"))
    assert (own.fewest, own.most) == (2, 3)
    assert months_at(celsius(70)).fewest == pytest.approx(5)


@pytest.mark.parametrize("crop", ["basil", "kale", "corn", "no such crop"])
def test_without_figures_of_its_own_the_general_ones_hold(crop):
    assert figures_for(crop) is GENERAL


def test_names_on_cards_find_the_chart():
    assert all(figures_for(name) == figures_for(long) for name, long in storage.CHART_NAMES.items())
    assert all(figures_for(name) is not GENERAL for name in storage.CHART_NAMES)
    crops = {row["crop"] for row in reference.rows("crops")}
    assert set(storage.CHART_NAMES.values()) <= crops


@given(st.floats(-5, 45), st.floats(0, 20), st.sampled_from(["tomato", "zucchini", "kale"]))
def test_warmer_keeps_no_longer(room, more, crop):
    figures = figures_for(crop)
    cool, warm = months_at(room, figures), months_at(room + more, figures)
    assert 0 <= warm.fewest <= warm.most
    assert warm.fewest <= cool.fewest + 1e-9
    assert warm.most <= cool.most + 1e-9


def test_a_cold_room_is_promised_no_more_than_the_coolest_figure():
    assert months_at(2) == Months(2, 6, 6)


def test_a_hot_room_ends_at_nought():
    assert months_at(60) == Months(60, 0, 0)
