"""More hours after a failed dry check, against the arithmetic done by hand."""

from __future__ import annotations

from math import log

import pytest

from scheduler.process.dry_check import Reading
from scheduler.process.more_hours import more_hours, proposed_s
from scheduler.scenario import load
from scheduler.units import GRID

CARD = load("august").card("mushroom")  # 90 to 6 % water in 8 h at 50 C; at most 0.54, 10 %
WITHIN = Reading(1, 0.54, 10.0)


def by_hand(from_percent: float, to_percent: float) -> float:
    """ln of the ratio on dry basis, in units of the card's own eight hours."""
    wet, dry = 90 / 10, 6 / 94
    start = from_percent / (100 - from_percent)
    aim = to_percent / (100 - to_percent)
    return 8 * log(start / aim) / log(wet / dry)


def test_within_the_limits_nothing_more_follows():
    assert more_hours(CARD, [WITHIN]) is None
    assert more_hours(CARD, []) is None


def test_too_moist_is_dried_to_what_the_card_dries_to():
    found = more_hours(CARD, [WITHIN, Reading(9, 0.5, 14.0)])
    assert found
    assert found.likely == pytest.approx(by_hand(14, 6))
    assert found.low < found.likely < found.high


def test_the_worst_of_each_kind_counts_whichever_rack_it_is():
    wet, active = Reading(9, 0.5, 14.0), Reading(3, 0.62, 4.0)
    together, apart = more_hours(CARD, [wet, active]), more_hours(CARD, [Reading(1, 0.62, 14.0)])
    assert together == apart


def test_active_but_dry_goes_on_below_what_the_card_dries_to():
    """At 6 % already, and over 0.54: the isotherm says how much drier it must be."""
    found = more_hours(CARD, [Reading(1, 0.7, 6.0)])
    assert found
    assert 0 < found.likely < 8
    more = more_hours(CARD, [Reading(1, 0.8, 6.0)])
    assert more
    assert more.likely > found.likely


def test_warmer_is_sooner():
    wet = [Reading(1, 0.5, 20.0)]
    here, warm = more_hours(CARD, wet), more_hours(CARD, wet, celsius=57)
    assert here
    assert warm
    assert warm.likely < here.likely


def test_what_holds_no_water_tells_nothing():
    assert more_hours(CARD, [Reading(1, 0.9, 0.0)]) is None


def test_a_run_lasts_full_five_minutes():
    found = more_hours(CARD, [Reading(1, 0.5, 14.0)])
    assert found
    lasts = proposed_s(found)
    assert lasts % GRID == 0
    assert 0 <= lasts - found.likely * 3600 < GRID
