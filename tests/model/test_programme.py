"""Rows that seldom bind: left out at first, and never broken."""

from collections.abc import Sequence

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL
from scheduler.model import programme as programmes
from scheduler.model.master import Master
from scheduler.model.programme import Programme, Row, proven
from scheduler.model.relaxed import Relaxed
from scheduler.prepare import problem
from scheduler.problem import Draft
from scheduler.scenario import load
from scheduler.whiteboard import whiteboard
from scheduler.worth import worth
from tests.strategies import kitchens


def worth_of(programme: Programme, found: Sequence[float]) -> float:
    return sum(cost * amount for cost, amount in zip(programme.costs, found, strict=False))


def broken(rows: Sequence[Row], found: Sequence[float]) -> list[Row]:
    return [
        (upper, row)
        for upper, row in rows
        if sum(figure * found[column] for column, figure in row.items()) > upper + 1e-5
    ]


def two_columns(*, seldom: bool) -> Programme:
    """At most 4 of each, 6 of both, and 7 of a double first and second."""
    programme = Programme()
    first, second = programme.column(3, 4), programme.column(2, 4)
    programme.at_most(6, {first: 1, second: 1}, seldom=seldom)
    programme.at_most(7, {first: 2, second: 1}, seldom=seldom)
    return programme


@pytest.mark.parametrize("seldom", [False, True])
def test_the_best_is_the_same_whichever_rows_seldom_bind(seldom: bool) -> None:
    """By hand: where both rows bind the second column would be 5, so it is at its 4."""
    programme = two_columns(seldom=seldom)
    assert programme.bound(60) == pytest.approx(12.5)
    assert programme.solution({}, {}, 60) == pytest.approx([1.5, 4.0])


@pytest.mark.parametrize("seldom", [False, True])
def test_other_costs_and_fixed_columns_are_kept_to(seldom: bool) -> None:
    programme = two_columns(seldom=seldom)
    assert programme.solution({1: 1.0}, {}, 60) == pytest.approx([3.5, 0.0])
    assert programme.solution({}, {0: 3.0}, 60) == pytest.approx([3.0, 1.0])


@given(st.lists(st.floats(-9, 9), min_size=3, max_size=3))
def test_any_prices_prove_a_bound(prices: list[float]) -> None:
    """The best answer is worth 12.25: 3.5 of the second, as a row asks, and 1.75 of the first."""
    programme = two_columns(seldom=False)
    programme.equal(3.5, {1: 1})
    assert programme.bound(60) == pytest.approx(12.25)
    assert proven(programme._lp(), prices) >= 12.25 - 1e-9


@pytest.mark.parametrize("seconds", [0.0, 1.0, 3.0])
def test_what_is_cut_off_proves_nothing_or_a_true_bound(seconds: float) -> None:
    """Glut, whose programme takes some five seconds; its plan by hand is worth less."""
    week = problem(load("glut"), FULL)
    most = Master(week).programme.bound(seconds)
    assert most is None or worth(week, whiteboard(week)) <= most < float("inf")


@pytest.mark.parametrize("price", [float("nan"), float("inf")])
def test_prices_that_are_no_numbers_prove_nothing(
    price: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(programmes, "proven", lambda *_: price)
    assert two_columns(seldom=False).bound(60) is None


def test_the_right_prices_prove_the_best() -> None:
    """By hand: the first column's 3 are what the double row takes at a price of 1.5, and the
    second's 2 exceed 1.5 by half, of which there are 4 at the most."""
    assert proven(two_columns(seldom=False)._lp(), [0, 1.5]) == pytest.approx(7 * 1.5 + 4 * 0.5)


@settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=12)
@given(kitchens())
def test_a_week_is_worth_the_same_row_by_row_and_at_once(asked: Asked) -> None:
    programme = Master(problem(asked, FULL)).programme
    found, bound = programme.solution({}, {}, 600), programme.bound(600)
    assert worth_of(programme, found) == pytest.approx(bound, rel=1e-6, abs=1e-3)
    assert not broken(programme.seldom, found)


def test_advice_keeps_to_rows_that_bind_after_all() -> None:
    """Glut's Thursday alone: with those rows forgotten the programme would promise more."""
    week = problem(load("glut"), FULL)
    relaxed = Relaxed(week)
    programme = relaxed.programme
    kept = relaxed._kept(Draft(), [3])
    found = programme.solution({}, kept, 600)
    rows, programme.seldom = programme.seldom, []
    forgetful = programme.solution({}, kept, 600)
    assert worth_of(programme, forgetful) > worth_of(programme, found) + 1
    assert broken(rows, forgetful)
    assert not broken(rows, found)


def test_a_programme_that_is_refused_proves_nothing():
    refused = two_columns(seldom=False)
    assert refused.bound_of_whole([0, 1], 60) is not None
    refused.at_most(1.0, {99: 1.0})  # of no column
    assert refused.bound_of_whole([0, 1], 60) is None
