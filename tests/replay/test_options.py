"""What was supposed in words: which option the figures speak for, and what each takes."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.kitchen import Costs
from scheduler.replay.changes import BY_KEY
from scheduler.replay.options import verdict, worded
from scheduler.replay.supposed import Supposed
from tests.replay.tries import supposed, with_fees


def test_the_verdict_names_the_cheaper_way():
    tried = (
        supposed("dryer", (300_000, 500_000), 90_000),
        supposed("steamer", (0, 0), 30_000),
        supposed("evening", (600_000, 600_000), 600_000),
    )
    told = verdict(tried, "USD")
    assert told.startswith("One more dryer would have placed 400 kg (300 to 500 kg in 2 tries) of")
    assert "at 2.25 USD a kg: of what was tried, the cheapest" in told
    assert " of the 400 kg of prepared food that else had no place, at 2.25" in told
    dear = (supposed("dryer", (100_000, 100_000), 90_000), *tried[1:])
    assert "evening shift to 22:00 600 kg, at 10.00 USD a kg" not in verdict(tried, "USD")
    assert "at 9.00 USD a kg" in verdict(dear, "USD")
    nothing = verdict((supposed("dryer", (0, 0), 90_000), tried[2]), "USD")
    assert "would have placed 0 kg (0 to 0 kg in 2 tries) of the" in nothing
    assert "evening shift to 22:00 600 kg, at 10.00 USD a kg" in nothing
    assert worded(tried, "USD")[1].a_kg == "no kg more"


def test_what_it_takes_is_told_with_its_price_and_a_year_apart():
    """A dryer of 9,000 over 10 years; 400 kg at 0.20 each to run it."""
    dryer = with_fees(supposed("dryer", (300_000, 500_000), 90_000), 250_000)
    (told,) = worded((dryer,), "USD")
    assert (told.price, told.running, told.a_kg) == ("9,000 USD, 900 a year", "80 USD", "2.45 USD")
    assert told.says.endswith("; over 10 years")
    assert told.binds.startswith("racks (no dryer has enough racks free")
    (part,) = worded((replace(dryer, cost=2_571),), "USD")
    assert part.says.endswith("; over 10 years; 26 USD counted for 1 week")
    both = supposed("dryer and supply", (300_000, 500_000), 110_000)
    (told,) = worded((both,), "USD")
    assert told.price == "13,000 USD, 1,100 a year"
    assert told.says.endswith("dryer 9,000 USD over 10 years and supply 4,000 USD over 20 years")
    (shift,) = worded((replace(dryer, change=BY_KEY["evening"]),), "USD")
    assert shift.says.endswith("at 15 USD an hour, 1 week")
    assert shift.price == "900 USD of wages"
    (order,) = worded((supposed("order", (1_000,), 0),), "USD")
    assert order.price == "nothing"


def test_the_verdict_sets_fees_against_a_kilogram_more():
    """A dryer of 400 kg for 900.00 and 80.00: 2.45 a kg, of which fees bring 2.50 or 1.00. With
    1,400 kg for 1,000.00 and 980.00 each would pay 1.41."""
    dryer = supposed("dryer", (300_000, 500_000), 90_000)
    assert verdict((with_fees(dryer, 250_000),), "USD").endswith(
        "at 2.45 USD a kg. Fees bring 2.50 USD a kg, on average: all of its 980 a year, and 20 USD"
        " more. It would pay for itself from 2.45 on."
    )
    assert verdict((with_fees(dryer, 100_000),), "USD").endswith(
        "Fees bring 1.00 USD a kg, on average: all but 580 USD of its 980 a year. It would pay for"
        " itself if each of these kg paid 2.45, or if all fees rose by 41 % (to 1.41 a kg)."
    )
    assert "its 980. " in verdict((with_fees(replace(dryer, cost=90_001), 100_000),), "USD")
    assert "Fees" not in verdict((dryer,), "USD")


def test_weeks_are_told_as_sure_only_where_something_came_of_every_try():
    (never,) = worded((supposed("steamer", (0, 4_000), 30_000),), "USD")
    (always,) = worded((supposed("steamer", (1_000, 4_000), 30_000),), "USD")
    assert never.sure == "0 to 4 kg in 2 tries; in no week reliably"
    assert always.sure == "1 to 4 kg in 2 tries; some in 1 of 1 week"
    (once,) = worded((supposed("steamer", (4_000,), 30_000),), "USD")
    assert once.sure == "tried once; some in 1 of 1 week"


def test_who_never_was_full_tried_no_such_week():
    (told,) = worded((Supposed(BY_KEY["evening when full"], 0, ()),), "USD")
    assert (told.saved, told.sure) == ("0 kg", "no such week")


def test_the_verdict_of_what_was_tried_without_a_dryer():
    steamer = supposed("steamer", (0, 0), 30_000)
    evening = supposed("evening", (600_000, 600_000), 600_000)
    assert verdict((), "USD") == ""
    assert verdict((steamer,), "USD") == "Nothing of what was tried would have placed more."
    alone = verdict((evening,), "USD")
    assert alone.startswith("Evening shift to 22:00 would have placed 600 kg (600 to 600 kg")
    assert alone.endswith("at 10.00 USD a kg.")
    both = verdict((steamer, evening), "USD")
    assert "at 10.00 USD a kg: of what was tried, the cheapest way" in both
    order = supposed("order", (200_000, 200_000), 0)
    assert "at no cost" in verdict((steamer, order), "USD")


def test_what_is_not_sure_is_asked_of_nobody():
    doubtful = supposed("dryer", (-1_000, 9_000), 90_000)
    assert verdict((doubtful,), "USD").endswith("the figures ask nothing of the board.")
    assert not worded((doubtful,), "USD")[0].question
    sure = supposed("dryer", (1_000, 9_000), 90_000)
    assert "ask nothing" not in verdict((sure,), "USD")
    assert worded((sure,), "USD")[0].question


def test_of_all_options_one_is_asked_about_and_says_for_whom():
    tried = (supposed("dryer", (4_000, 8_000), 90_000), supposed("steamer", (1, 2), 30_000))
    dryer, steamer = worded(tried, "USD")
    assert dryer.gained == (("G06", 6_000),)
    assert dryer.question
    assert not steamer.question
    assert worded((replace(tried[0], spent=with_fees(tried[0], 1).spent),), "USD")[0].question


def test_prices_are_the_kitchens_own():
    dear = with_fees(supposed("dryer", (400_000,), 120_000), 0)
    dear = replace(dear, spent=replace(dear.spent, costs=Costs(dryer=1_200_000, dryer_years=5)))
    (told,) = worded((dear,), "EUR")
    assert told.price == "12,000 EUR, 2,400 a year"
