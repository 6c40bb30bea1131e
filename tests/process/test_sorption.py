"""The GAB isotherm and the dry check."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.process_card import DryCheck
from scheduler.process import sorption
from scheduler.process.sorption import Gab

isotherms = st.builds(Gab, st.floats(0.03, 0.3), st.floats(0.2, 60), st.floats(0.5, 1.15))
activities = st.floats(0.01, 0.8)


@given(isotherms, activities)
def test_round_trip(isotherm, activity):
    moisture = isotherm.moisture(activity)
    assert isotherm.water_activity(moisture) == pytest.approx(activity, rel=1e-6)


@given(isotherms, activities, activities)
def test_wetter_food_is_more_active(isotherm, one, other):
    low, high = sorted((one, other))
    assert isotherm.moisture(low) <= isotherm.moisture(high)


def test_no_water_at_all():
    isotherm = Gab(0.1, 10, 0.7)
    assert isotherm.moisture(0) == isotherm.water_activity(0) == 0


@pytest.mark.parametrize(("k", "activity"), [(1.143, 0.9), (0.7, 1.01), (0.7, -0.01)])
def test_refuses_activities_outside_its_range(k, activity):
    with pytest.raises(ValueError, match="says nothing"):
        Gab(0.2, 11.84, k).moisture(activity)


def test_refuses_moistures_outside_its_range():
    isotherm = Gab(0.1, 10, 0.7)
    with pytest.raises(ValueError, match="says nothing"):
        isotherm.water_activity(1.01 * isotherm.moisture(1))
    with pytest.raises(ValueError, match="no moisture"):
        isotherm.water_activity(-0.01)


@given(st.floats(10, 60), st.floats(1, 10), activities)
def test_warmer_food_of_the_same_activity_is_drier(celsius, more, activity):
    cool, warm = (sorption.POTATO.at(each) for each in (celsius, celsius + more))
    if activity < 0.5:  # further up the potato's isotherms cross
        assert warm.moisture(activity) < cool.moisture(activity)


def test_limits_of_a_dry_check_are_inclusive():
    check = DryCheck(most_water_activity=0.55, most_moisture_percent=8)
    assert sorption.reads_within(check, 0.55, moisture_percent=8)
    assert not sorption.reads_within(check, 0.551, moisture_percent=8)
    assert not sorption.reads_within(check, 0.55, moisture_percent=8.1)
