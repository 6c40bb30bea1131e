"""Changes that a board may suppose: what of the kitchen they change, and what they cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta

import pytest

from scheduler.domain.clock import Week
from scheduler.replay.changes import BY_KEY, evening_shift, one_more_dryer
from scheduler.scenario import load


def test_changes_leave_the_rest_of_the_kitchen_alone():
    august = load("august").kitchen
    more = one_more_dryer(august)
    assert [each.id for each in more.dryers] == ["D1", "D2", "D3", "D4", "D5"]
    assert replace(more, dryers=august.dryers) == august
    late = evening_shift(august)
    weekdays = [each for each in late.staffed if each.weekday < 5]
    assert {each.closes for each in weekdays} == {time(22)}
    assert [each for each in late.staffed if each.weekday == 5] == [
        each for each in august.staffed if each.weekday == 5
    ]
    jun = next(each for each in late.hands if each.name == "Jun Ferrow")
    assert {each.closes for each in jun.shifts} == {time(22)}
    manager = next(each for each in late.hands if each.role == "manager")
    assert {each.closes for each in manager.shifts} == {time(17), time(13)}


def test_a_kitchen_that_is_open_to_midnight_has_no_longer_evening():
    august = load("august").kitchen
    to_midnight = tuple(replace(each, closes=time(0)) for each in august.staffed)
    late = replace(august, staffed=to_midnight)
    assert evening_shift(late) == late


@pytest.mark.parametrize("key", list(BY_KEY))
def test_every_change_has_a_cost_in_whole_minor_units(key: str):
    asked = load("august")
    cost = BY_KEY[key].cost((asked,))
    assert isinstance(cost, int)
    assert cost >= 0
    if key == "evening":  # Jun three evenings and Sal two, three hours each at 15.00
        assert cost == 5 * 3 * 1500


def test_a_price_is_of_the_weeks_it_is_set_against():
    """A dryer of 900.00 a year: one week of 35 open, all of them, all of the calendar's."""
    monday = Week(2026, 1).monday
    asked = load("august")

    def cost(weeks: int) -> int:
        days = (monday + timedelta(weeks=each) for each in range(weeks))
        return BY_KEY["dryer"].cost(tuple(replace(asked, week=Week.of(day)) for day in days))

    assert asked.kitchen.costs.weeks_open == 35
    assert cost(1) == 90_000 // 35 == 2571
    assert cost(7) == 18_000
    assert cost(35) == cost(53) == 90_000


def test_prices_are_the_kitchens_own():
    asked = load("august")
    costs = replace(asked.kitchen.costs, dryer=350_000, dryer_years=5, weeks_open=10, hand_hour=100)
    dearer = replace(asked, kitchen=replace(asked.kitchen, costs=costs))
    assert BY_KEY["dryer"].cost((dearer,)) == 350_000 // 5 // 10
    assert BY_KEY["evening"].cost((dearer,)) == 5 * 3 * 100
    assert BY_KEY["order"].cost((dearer,)) == 0
