"""What a kilogram took and brought: by hand, and nothing where nothing was dried."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.kitchen import Costs
from scheduler.season import counts
from scheduler.season.bills import bill_lines, income
from scheduler.season.money import NOT_COUNTED, NOTHING, PerKg, counted, per_kg
from tests.season.small import season

COSTS = Costs(electricity_100_kwh=2000, hand_hour=1800, source="our own bills of 2025")


def test_a_kilogram_by_hand():
    """50 kg took 80 kWh and 5 h and brought 75.00: 1.6 kWh at 0.20, 6 min at 18.00, 1.50."""
    found = PerKg(50_000, 80_000, 5 * 3600, 7_500, COSTS)
    assert [each(1000) for each in (found.electricity, found.hands, found.brings)] == [32, 180, 150]
    told = counted(found, "EUR")
    for part in (
        "1.60 kWh, 0.32 EUR, at 20.00 for 100 kWh",
        "6.0 minutes of hands' work by name, 1.80 EUR, at 18.00 an hour",
        "Source of prices: our own bills of 2025.",
    ):
        assert part in told
    assert told.endswith(NOT_COUNTED)


def test_where_nothing_was_dried_nothing_is_reckoned():
    assert [each(1000) for each in (NOTHING.electricity, NOTHING.hands, NOTHING.brings)] == [0] * 3
    assert counted(NOTHING, "EUR") == NOT_COUNTED


def test_a_rise_by_hand():
    """50 kg brought 75.00; with 10 kg more 105.00 are wanted, 1.75 a kg instead of 1.50: a sixth
    more."""
    found = PerKg(50_000, 80_000, 5 * 3600, 7_500, COSTS)
    assert found.rise(10_000, 3_000) == pytest.approx(1 / 6)
    assert found.rise(10_000, 1_500) == pytest.approx(0)  # what they bring at fees as they are
    assert found.rise(10_000, 0) < 0


@settings(max_examples=10, deadline=None)
@given(st.integers(1, 200))
def test_all_kilograms_together_took_what_the_season_took(seed: int):
    found = season(seed)
    spent, (_, prepared, _, watt_h) = per_kg(found), counts.prepared_and_dried(found)
    if not prepared:
        return
    costs = found.kitchen.costs
    assert spent.electricity(prepared) == round(watt_h * costs.electricity_100_kwh / 100_000)
    assert spent.hands(prepared) == round(counts.duty_s(found) * costs.hand_hour / 3600)
    assert spent.brings(prepared) == income(bill_lines(found))
    dearer = replace(spent, costs=replace(costs, hand_hour=2 * costs.hand_hour))
    assert abs(dearer.hands(prepared) - 2 * spent.hands(prepared)) <= 1
