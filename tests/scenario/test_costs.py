"""What the board reckons with: told by the kitchen as a whole, or assumed as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.domain.kitchen import Costs
from scheduler.errors import BadInput
from scheduler.scenario import load
from tests.scenario.conftest import Spoil


def test_the_bundled_kitchens_tell_demo_figures():
    for name in ("august", "dryer_down", "glut", "spring_day"):
        assert load(name).kitchen.costs == Costs(source="demo (Corrowell Valley)")


def test_a_kitchen_tells_its_own(folder: Path, spoil: Spoil):
    spoil("kitchen.toml", "electricity_100_kwh = 16.00", "electricity_100_kwh = 24.55")
    spoil("kitchen.toml", "dryer = 9000.00\ndryer_years = 10", "dryer = 12000\ndryer_years = 15")
    costs = load(folder).kitchen.costs
    assert (costs.electricity_100_kwh, costs.dryer, costs.dryer_years) == (2455, 1_200_000, 15)


def test_what_is_not_told_is_assumed_and_says_so(folder: Path):
    file = folder / "kitchen.toml"
    file.write_text(file.read_text(encoding="utf-8").partition("[costs]")[0], encoding="utf-8")
    assert load(folder).kitchen.costs == Costs()
    assert Costs().source == "assumed"


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("hand_hour = 15.00\n", "", "hand_hour"),  # told in part, the source would be wrong
        ("dryer_years = 10", "dryer_years = 0", "dryer_years"),
        ("weeks_open = 35", "weeks_open = 54", "weeks_open"),
        ("supply = 4000.00", "supply = -1", "supply"),
    ],
)
def test_what_cannot_be(folder: Path, spoil: Spoil, old: str, new: str, field: str):
    spoil("kitchen.toml", old, new)
    with pytest.raises(BadInput, match=field):
        load(folder)
