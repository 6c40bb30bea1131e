"""Moist air: laws that hold whatever the library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.process.air import Air, pressure_at, saturated_humidity_ratio

airs = st.builds(Air.of_humidity, st.floats(5, 70), st.floats(0.05, 0.95))


@given(airs)
def test_saturated_air_takes_up_nothing(air):
    wet = air.adiabatically_saturated()
    assert wet.relative_humidity == pytest.approx(1)
    assert wet.pick_up(1) == pytest.approx(0, abs=1e-4)
    assert air.celsius > wet.celsius > air.dew_point_c


@given(airs, st.floats(1, 30))
def test_a_heater_adds_room_but_no_water(air, more):
    hot = air.heated(air.celsius + more)
    assert hot.humidity_ratio == air.humidity_ratio
    assert hot.dew_point_c == pytest.approx(air.dew_point_c, abs=0.01)
    assert hot.relative_humidity < air.relative_humidity
    assert hot.enthalpy > air.enthalpy
    assert hot.pick_up(0.5) > air.pick_up(0.5)


@given(airs)
def test_two_thermometers_tell_the_humidity(air):
    wet_bulb = air.adiabatically_saturated().celsius
    assert Air.of_wet_bulb(air.celsius, wet_bulb).humidity_ratio == pytest.approx(
        air.humidity_ratio, abs=1e-4
    )


def test_pick_up_of_the_worked_example():
    """Practical Action reads 0.010 from a chart for this air, and takes half of it for herbs."""
    assert Air(50, 0.007).pick_up(0.5) == pytest.approx(0.005, rel=0.12)


def test_thinner_air_holds_more_water_a_kg():
    assert saturated_humidity_ratio(57, pressure_at(1500)) > saturated_humidity_ratio(57)


def test_refuses_what_is_no_air():
    with pytest.raises(ValueError, match=r"[Hh]umidity"):
        Air.of_humidity(20, 1.2)
