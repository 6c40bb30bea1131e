"""What the board is asked: the cheapest of what is sure, with its price and its condition."""

from __future__ import annotations

from scheduler.replay.question import asked_about, question
from tests.replay.tries import supposed, with_fees

DRYER = supposed("dryer", (300_000, 500_000), 90_000)
EVENING = supposed("evening", (600_000, 600_000), 600_000)


def test_the_cheapest_kilogram_is_asked_about():
    assert asked_about((EVENING, DRYER)) is DRYER
    dear = supposed("dryer", (30_000, 50_000), 90_000)
    assert asked_about((dear, EVENING)) is EVENING
    assert asked_about(()) is None


def test_what_placed_nothing_more_in_one_try_is_not_asked_about():
    lucky = supposed("dryer", (0, 900_000), 90_000)
    assert asked_about((lucky, EVENING)) is EVENING
    assert asked_about((lucky,)) is None
    assert asked_about((supposed("dryer", (499, 900), 90_000),)) is None  # told as 0 kg
    half = supposed("dryer", (500, 900), 90_000)
    assert asked_about((half,)) is half


def test_what_costs_nothing_is_asked_about_where_nothing_else_is_sure():
    order = supposed("order", (1_000, 2_000), 0)
    assert asked_about((order, EVENING)) is EVENING
    assert asked_about((order, supposed("steamer", (0, 0), 30_000))) is order
    assert question(order, "USD") == (
        "The board is asked to decide whether to serve notes in order of call: 2 kg more."
    )


def test_the_condition_is_what_fees_leave_uncovered():
    """900.00 a year and 80.00 for 400 kg, of which fees bring 400.00 or 1,000.00."""
    asked = (
        "The board is asked to decide whether to buy one more dryer for 9,000 USD (900 a year, and"
        " 80 to run it): 400 kg more"
    )
    assert question(with_fees(DRYER, 100_000), "USD") == (
        f"{asked}, on condition that the 580 USD a year which fees would not cover are accepted."
    )
    assert question(with_fees(DRYER, 250_000), "USD") == f"{asked}, which fees would cover."
    assert question(DRYER, "USD").endswith("400 kg more.")  # no fees are known


def test_wages_are_for_the_weeks_that_were_tried():
    """6,000.00 of wages and 120.00 for 600 kg, of which fees bring 600.00."""
    assert question(with_fees(EVENING, 100_000), "USD") == (
        "The board is asked to decide whether to pay for evening shifts to 22:00 for 6,000 USD and"
        " 120 to run it: 600 kg more, on condition that the 5,520 USD which fees would not cover"
        " are accepted."
    )


def test_one_try_says_that_it_is_one():
    once = supposed("dryer", (400_000,), 90_000)
    assert question(once, "USD").endswith(
        "400 kg more; it was tried once, which does not say how sure it is."
    )
