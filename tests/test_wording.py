"""Amounts, times and temperatures are written one way."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.units import Grams
from scheduler.wording import (
    clock,
    clock_from,
    count,
    day_and_month,
    duration,
    listed,
    percent,
    plain,
    short_day,
    temperature,
    weight,
)

AT = datetime(2026, 8, 18, 8, 5, tzinfo=UTC)


@pytest.mark.parametrize(
    ("grams", "unit", "written"),
    [
        (1_208_400, "kg", "1,208 kg"),
        (117_500, "kg", "118 kg"),
        (4_400, "kg", "4.4 kg"),
        (55_000, "kg", "55 kg"),
        (0, "kg", "0 kg"),
        (125_000, "lb", "276 lb"),
    ],
)
def test_weight(grams: int, unit: str, written: str):
    assert weight(Grams(grams), "lb" if unit == "lb" else "kg") == written


def test_temperature():
    assert [temperature(57), temperature(57, "F"), temperature(57.5)] == [
        "57 °C",
        "135 °F",
        "57.5 °C",
    ]


@pytest.mark.parametrize(
    ("seconds", "written"),
    [
        (0, "0 min"),
        (150, "2 min 30 s"),
        (5_400, "1 h 30 min"),
        (54_000, "15 h"),
        (3_605, "1 h 5 s"),
    ],
)
def test_duration(seconds: int, written: str):
    assert duration(seconds) == written


def test_clock_and_days():
    assert clock(AT) == "08:05"
    assert clock(AT.replace(second=30)) == "08:05:30"
    assert clock_from(AT, date(2026, 8, 18)) == "08:05"
    assert clock_from(AT, date(2026, 8, 17)) == "Tue 08:05"
    assert day_and_month(AT.date()) == "Tuesday 18 August"
    assert short_day(AT.date()) == "Tue 18"


def test_percent_and_counts():
    assert [percent(0.5097), percent(0.0323), percent(0.0), percent(1.0)] == [
        "51 %",
        "3.2 %",
        "0 %",
        "100 %",
    ]
    assert [count(1, "rack"), count(19, "rack"), count(2, "batch")] == [
        "1 rack",
        "19 racks",
        "2 batches",
    ]


def test_lists_read_as_sentences():
    assert [listed([]), listed(["a"]), listed(["a", "b"]), listed("abc")] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]


@given(st.integers(0, 10**9))
def test_whole_numbers_lose_nothing(number: int):
    assert int(plain(number, decimals=1).replace(",", "")) == number
