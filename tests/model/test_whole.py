"""Small weeks taken at once."""

from random import Random

import pytest

from scheduler.domain.rules import FULL, SIMPLE
from scheduler.kitchen_suites import KitchenSuite, cases
from scheduler.model.master import Master, most_there_is
from scheduler.model.solve import Effort
from scheduler.model.whole import taken_at_once, whole_bound
from scheduler.model.windows import Windows
from scheduler.prepare import problem
from scheduler.problem import Problem
from scheduler.scenario import load
from scheduler.weeks import week as invented
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth


@pytest.fixture(scope="module")
def day() -> Problem:
    """The third of the single days that are raced."""
    return problem(cases(KitchenSuite.DAY, 3)[0])


def test_single_days_are_taken_at_once_and_weeks_are_not(day: Problem):
    assert taken_at_once(day)
    assert taken_at_once(problem(load("spring_day")))
    assert not taken_at_once(problem(load("august")))
    assert not taken_at_once(problem(invented(3)))
    assert not taken_at_once(problem(load("august"), SIMPLE))


def test_a_day_comes_to_proof_that_does_not_by_the_relaxed_week(day: Problem):
    windows = Windows(day, Ruin(day, Random(1)), Random(1))
    every = range(len(windows.relaxed.days))
    draft = whiteboard(day)
    wishes = windows.wishes.anything(draft, every, 0)
    found = windows.filled(draft, every, wishes, Effort(seconds=300, work=3.0))
    assert found is not None
    bound = windows.relaxed.master.bound(300)
    assert bound is not None
    assert worth(day, found) == whole_bound(windows.relaxed.master, 300) < bound


def test_the_relaxed_week_that_gives_advice_stays_as_it_is(day: Problem):
    master = Master(day)
    before = len(master.programme.costs), len(master.programme.row_uppers)
    whole_bound(master)
    assert (len(master.programme.costs), len(master.programme.row_uppers)) == before


def test_what_was_not_found_in_time_proves_nothing_less_than_all(day: Problem):
    assert whole_bound(Master(day), 0.0) == most_there_is(day)


def test_easier_rules_know_no_charges():
    week = problem(load("spring_day"), SIMPLE)
    assert whole_bound(Master(week)) == most_there_is(week)
    assert whole_bound(Master(problem(load("spring_day"), FULL))) <= most_there_is(week)
