"""What trials of a change come to, by hand."""

from __future__ import annotations

from dataclasses import replace

from scheduler.replay.changes import BY_KEY
from scheduler.replay.supposed import Supposed, Trial
from scheduler.scenario import load
from scheduler.season.money import PerKg
from tests.season.small import season


def trial(week: int, seed: int, saved_g: int, **rules: int) -> Trial:
    left = tuple((int(name[1:]), grams) for name, grams in rules.items())
    of = season(1, length=3).weeks[week].week
    return Trial(of, "dryer", seed, 1000, 1000 + saved_g, left, (("G1", saved_g),))


def test_what_a_change_comes_to_by_hand():
    """Seed 1 saves 1 + 3 kg, seed 2 1 + 0: 4 and 1, mean 2.5, 2.121 kg apart (sd)."""
    found = Supposed(
        BY_KEY["dryer"],
        50_000,
        (
            trial(0, 1, 1000),
            trial(1, 1, 3000, r12=5, r5=4),
            trial(0, 2, 1000, r5=2),
            trial(1, 2, 0),
        ),
    )
    assert found.by_seed == (4000, 1000)
    assert found.saved_g == 2500
    assert found.give_or_take_g == 2121
    assert found.cost_per_kg == 20_000
    assert found.weeks_helped == 1
    assert found.binds == 5  # 6 g against 5 of rule 12
    assert found.waited_g == 2500 + 6  # saved, and the mean of 9 and 2 that wait still


def test_nothing_saved_has_no_price_a_kilogram():
    assert Supposed(BY_KEY["dryer"], 50_000, (trial(0, 1, 0),)).cost_per_kg is None
    little, half = (Supposed(BY_KEY["dryer"], 50_000, (trial(0, 1, g),)) for g in (499, 500))
    assert (little.cost_per_kg, half.cost_per_kg) == (None, 100_000)


def test_what_is_saved_takes_power_and_hands():
    """10 kg took 2 kWh and an hour: 0.20 at 10.00 for 100 kWh, 12.00 of hands; 5 kg half of it."""
    costs = replace(load("august").kitchen.costs, electricity_100_kwh=1000, hand_hour=1200)
    spent = PerKg(10_000, 2_000, 3600, 3_000, costs)
    trials = (trial(0, 1, 5000),)
    dryer = Supposed(BY_KEY["dryer"], 10_000, trials, spent)
    assert (dryer.electricity, dryer.hands, dryer.total) == (10, 600, 10_610)
    assert dryer.cost_per_kg == 2122
    evening = Supposed(BY_KEY["evening"], 10_000, trials, spent)
    assert (evening.electricity, evening.hands) == (10, 0)  # its shifts are paid whole
    less = Supposed(BY_KEY["dryer"], 10_000, (trial(0, 1, -5000),), spent)
    assert (less.electricity, less.hands, less.total) == (0, 0, 10_000)
