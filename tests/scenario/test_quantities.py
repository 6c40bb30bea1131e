"""The unit of a quantity is told by its column: pounds or kilograms, Fahrenheit or Celsius."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.scenario import load
from scheduler.scenario.quantities import as_spelled, columns, in_base_units, number


@pytest.mark.parametrize(
    ("column", "given_value", "field", "expected"),
    [
        ("field_kg", "55.5", "field_g", 55_500),
        ("field_lb", "100", "field_g", 45_359),  # international pound, 453.592 37 g
        ("field_g", "250", "field_g", 250),
        ("pair_kg_per_h", "40", "pair_g_per_h", 40_000),
        ("pair_lb_per_h", "10", "pair_g_per_h", 4536),
        ("kg_per_m2", "3.9", "g_per_m2", 3900),
        ("loose_kg_per_l", "0.15", "loose_g_per_l", 150),
        ("set_point_c", "57", "set_point_c", 57),
        ("set_point_f", "140", "set_point_c", 60),
        ("tolerance_f", "5.4", "tolerance_c", 3),
        ("drying_h", "2.5", "drying_s", 9000),
        ("steam_min", "2.5", "steam_s", 150),
        ("rest_s", "90", "rest_s", 90),
        ("rack_area_m2", "0.57", "rack_area_cm2", 5700),
        ("kw", "7.5", "watts", 7500),
        ("supply_kw", "36", "supply_watts", 36_000),
        ("fahrenheit", "41", "celsius", 5),
    ],
)
def test_each_unit(column, given_value, field, expected):
    row = in_base_units({column: given_value}, [field], as_text=True)
    assert row == {field: pytest.approx(expected)}
    assert as_spelled(field, {column: given_value}) == column


@pytest.mark.parametrize(
    "text", ["", "x", "1,5", "1 000", "1_000", "1e3", "nan", "inf", "=2", "0x1"]
)
def test_what_is_no_number_stays_as_it_is(text):
    assert number(text) is None
    assert in_base_units({"field_kg": text}, ["field_g"], as_text=True) == {"field_g": text}


def test_text_is_no_number_where_files_know_numbers():
    assert in_base_units({"kw": "7.5"}, ["watts"], as_text=False) == {"watts": "7.5"}
    assert in_base_units({"kw": True}, ["watts"], as_text=False) == {"watts": True}


def test_a_second_unit_for_the_same_thing_stays_behind():
    row = in_base_units({"field_kg": "1", "field_lb": "2"}, ["field_g"], as_text=True)
    assert row == {"field_g": 1000, "field_lb": "2"}
    row = in_base_units({"kw": 1, "watts": 2}, ["watts"], as_text=False)
    assert row == {"watts": 2, "kw": 1}


def test_other_columns_have_one_name():
    assert columns("racks") == ("racks",)
    assert columns("most_charges") == ("most_charges",)


@given(st.integers(min_value=1, max_value=10**7))
def test_kilograms_to_the_gram(amount):
    row = in_base_units({"field_kg": f"{amount / 1000:.3f}"}, ["field_g"], as_text=True)
    assert row == {"field_g": amount}


def test_a_whole_scenario_in_pounds_and_fahrenheit(folder: Path):
    was = load(folder)
    _rewrite(folder / "harvest_notes.csv", "field_kg", "field_lb", lambda kg: kg / 0.45359237)
    _rewrite(folder / "process_cards.csv", "set_point_c", "set_point_f", lambda c: c * 1.8 + 32)
    _rewrite(folder / "process_cards.csv", "tolerance_c", "tolerance_f", lambda c: c * 1.8)
    _rewrite(folder / "process_cards.csv", "drying_h", "drying_min", lambda hours: hours * 60)
    now = load(folder)
    assert now.notes == was.notes
    for card, before in zip(now.cards, was.cards, strict=True):
        assert card.set_point_c == pytest.approx(before.set_point_c)
        assert card.tolerance_c == pytest.approx(before.tolerance_c)
        assert card.drying_s == before.drying_s


def _rewrite(path: Path, old: str, new: str, convert) -> None:
    header, *rows = csv.reader(path.read_text(encoding="utf-8").splitlines())
    place = header.index(old)
    header[place] = new
    for row in rows:
        row[place] = f"{convert(float(row[place])):.6f}"
    with path.open("w", encoding="utf-8", newline="") as lines:
        csv.writer(lines).writerows([header, *rows])
