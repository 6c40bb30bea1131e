"""A lay-out goes on from a draft that was kept, and only from one that is sound."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduler.domain.plan import Run
from scheduler.domain.rules import FULL
from scheduler.expand import expanded
from scheduler.plan_file import value_from_json, value_to_json
from scheduler.planning import Limits, Progress, lay_out
from scheduler.prepare import problem
from scheduler.problem import Draft
from scheduler.scenario import load
from scheduler.whiteboard import whiteboard
from scheduler.worth import worth
from tests.drafts import better_draft

AUGUST = load("august")
WEEK = problem(AUGUST, FULL)


@pytest.fixture(scope="module")
def better() -> Draft:
    return better_draft(WEEK)


def runs_of(draft: Draft) -> tuple[Run, ...]:
    return expanded(AUGUST, WEEK, draft).runs


def runs_from(start: Draft) -> tuple[Run, ...]:
    """Those of a lay-out that has a start and no time."""
    limits = Limits(seconds=0, start=start)
    laid_out = lay_out(AUGUST, limits=limits, explain_seconds=0)
    assert laid_out.faults == ()
    return laid_out.plan.runs


def test_no_plan_is_worth_less_than_the_start(better: Draft):
    assert runs_from(better) == runs_of(better)


def test_a_start_no_better_than_the_whiteboard_is_nothing():
    fewer = Draft(whiteboard(WEEK).runs[1:])
    assert runs_from(fewer) == runs_of(whiteboard(WEEK))


def test_a_start_of_another_kitchen_is_left_aside(better: Draft):
    elsewhere = tuple(replace(run, dryer=run.dryer + 9) for run in better.runs)
    assert runs_from(Draft(elsewhere)) == runs_of(whiteboard(WEEK))


def test_a_start_that_breaks_a_rule_is_left_aside(better: Draft):
    twice = (*better.runs, *better.runs)
    assert worth(WEEK, Draft(twice)) > worth(WEEK, better)
    assert runs_from(Draft(twice)) == runs_of(whiteboard(WEEK))


def test_a_watcher_hears_the_draft_of_the_worth_it_is_told(better: Draft):
    heard: list[Progress] = []

    def watch(progress: Progress) -> bool:
        heard.append(progress)
        return True

    lay_out(AUGUST, limits=Limits(seconds=60, start=better), watch=watch)
    assert heard[0].best == better
    assert heard[0].worth_g == worth(WEEK, better)


def test_a_draft_can_be_written_down(better: Draft):
    assert value_from_json(Draft, value_to_json(better), "best") == better
