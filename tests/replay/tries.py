"""What was tried of one week, made up: so many prepared grams more with each seed."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.clock import Week
from scheduler.domain.kitchen import Costs
from scheduler.replay.changes import BY_KEY
from scheduler.replay.supposed import Supposed, Trial
from scheduler.season.money import PerKg

COSTS = Costs(electricity_100_kwh=2000)
TON = 1_000_000


def supposed(key: str, saved: tuple[int, ...], cost: int) -> Supposed:
    """All of it G06's. cost: in minor units."""
    trials = tuple(
        Trial(Week(2026, 36), key, seed, 0, grams, ((5, 10),), (("G06", grams),))
        for seed, grams in enumerate(saved)
    )
    return Supposed(BY_KEY[key], cost, trials)


def with_fees(found: Supposed, fees: int) -> Supposed:
    """The same where 1,000 kg took 1,000 kWh, at 0.20, and brought such fees, in minor units."""
    return replace(found, spent=PerKg(TON, TON, 0, fees, COSTS))
