"""board.json and the invoices' table: shares in the units named, what was supposed as fractions."""

from __future__ import annotations

from datetime import date

import pytest

from scheduler.domain.clock import Week
from scheduler.replay.changes import BY_KEY
from scheduler.replay.options import worded
from scheduler.replay.supposed import Supposed, Trial
from scheduler.season.as_json import board_json
from scheduler.season.paper import paper
from scheduler.season.tables import bills_table, totals_table
from tests.season.small import season


def test_money_for_each_rack_hour_is_in_money_and_rack_hours():
    found = board_json(paper(season(4)))
    fees = next(each for each in found["figures"] if each["name"] == "Fees for each rack-hour")
    assert (fees["unit"], fees["of"]) == ("money", "rack-hours")
    income, loaded = fees["numerator"] / 100, fees["denominator"] / 3600
    assert fees["share"] == pytest.approx(income / loaded)
    assert income / loaded > 0.1  # a rack-hour costs some tenths


def test_what_was_supposed_stands_as_a_fraction_of_a_period():
    """Seed 1 places 400 g more than 2,000, seed 2 200 more than 3,000: 300 of 2,500 in the mean."""
    week = Week(2026, 33)
    trials = (
        Trial(week, "dryer", 1, 2_000, 2_400, (), ()),
        Trial(week, "dryer", 2, 3_000, 3_200, (), ()),
    )
    options = worded((Supposed(BY_KEY["dryer"], 90_000, trials),), "USD")
    (told,) = board_json(paper(season(4), options=options))["suppose"]
    assert (told["numerator"], told["denominator"], told["share"]) == (300, 2_500, 0.12)
    assert (told["unit"], told["of"], told["saved_kg"]) == ("kg", "kg", 0.3)
    assert told["from"].startswith("2026-08-10")
    assert "/" in told["definition"]


def test_invoices_of_a_part_of_a_month_say_which_days():
    """Three weeks from Monday 10 to Sunday 30 August."""
    found = season(4)
    for table in (bills_table(found), totals_table(found)):
        assert table.columns[:4] == ("month", "from", "to", "grower")
        assert {row[:3] for row in table.rows} == {
            ("2026-08", date(2026, 8, 10), date(2026, 8, 30))
        }
        assert all(len(row) == len(table.columns) for row in table.rows)
