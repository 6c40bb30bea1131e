"""Moist air against CoolProp, whose real gas (ASHRAE RP-1485) is not the ideal gas of ours."""

import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI

from scheduler.process import air

KELVIN = 273.15
CONDITIONS = [
    (celsius, relative, metres)
    for celsius in (20.0, 38.0, 57.0, 70.0)
    for relative in (0.05, 0.3, 0.8)
    for metres in (0.0, 1500.0)
]


@pytest.fixture(params=CONDITIONS, ids=str)
def pair(request):
    """The same air here and, as a function from a property's name, in CoolProp."""
    celsius, relative, metres = request.param
    ours = air.Air.of_humidity(celsius, relative, pressure_pa=air.pressure_at(metres))

    def theirs(name):
        return HAPropsSI(name, "T", celsius + KELVIN, "R", relative, "P", ours.pressure_pa)

    return ours, theirs


def test_humidity_ratio(pair):
    ours, theirs = pair
    assert ours.humidity_ratio == pytest.approx(theirs("W"), rel=0.01)


def test_enthalpy(pair):
    ours, theirs = pair
    assert ours.enthalpy == pytest.approx(theirs("Hda"), rel=0.007)


def test_dew_point(pair):
    ours, theirs = pair
    assert ours.dew_point_c == pytest.approx(theirs("Tdp") - KELVIN, abs=0.05)


def test_adiabatic_saturation(pair):
    ours, theirs = pair
    assert ours.adiabatically_saturated().celsius == pytest.approx(theirs("Twb") - KELVIN, abs=0.05)


@pytest.mark.parametrize("celsius", [5.0, 25.0, 60.0, 90.0])
def test_saturation_pressure(celsius):
    theirs = PropsSI("P", "T", celsius + KELVIN, "Q", 0, "Water")
    assert air.saturation_pressure(celsius) == pytest.approx(theirs, rel=0.0003)
