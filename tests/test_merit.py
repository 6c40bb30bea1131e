"""Drafts compared goal by goal, in the members' order."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.rules import FULL
from scheduler.merit import merit
from scheduler.prepare import problem
from scheduler.problem import Draft, DraftRun, Problem
from scheduler.scenario import load
from scheduler.whiteboard import whiteboard
from scheduler.worth import worth

WEEK = problem(load("spring_day"), FULL)
PLAN = whiteboard(WEEK)


def first_changed(**fields: object) -> Draft:
    """The plan with its first run otherwise; whether it could be so is not asked here."""
    run, *others = PLAN.runs
    changed: DraftRun = replace(run, **fields)  # type: ignore[arg-type]
    return Draft((changed, *others))


def later_calls() -> Draft:
    """Its first charge packed an hour later."""
    first, *others = PLAN.runs[0].charges
    return first_changed(charges=(replace(first, pack=first.pack + 12), *others))


def ordered(*goals: str) -> Problem:
    return replace(WEEK, goals=goals)


def test_more_worth_outweighs_everything_else() -> None:
    fewer = Draft(PLAN.runs[1:])
    assert worth(WEEK, fewer) < worth(WEEK, PLAN)
    assert merit(WEEK, fewer) < merit(WEEK, PLAN)
    assert merit(WEEK, fewer)[1:] > merit(WEEK, PLAN)[1:]


def test_of_equal_worth_the_one_that_waits_less_is_better() -> None:
    sooner = first_changed(start=PLAN.runs[0].start - 1)
    assert merit(WEEK, sooner) > merit(WEEK, PLAN) > merit(WEEK, first_changed(start=10_000))


def test_the_lot_that_keeps_less_long_waits_more_heavily() -> None:
    lot = WEEK.lots[PLAN.runs[0].charges[0].lot]
    lots = [replace(each, keeping=each.keeping // 2) if each is lot else each for each in WEEK.lots]
    perishable, later = replace(WEEK, lots=tuple(lots)), first_changed(start=PLAN.runs[0].start + 1)
    lost, more = (merit(week, PLAN)[1] - merit(week, later)[1] for week in (WEEK, perishable))
    assert 2 * lost <= more <= 2 * lost + 1


def test_the_members_order_decides_which_goal_counts_first() -> None:
    sooner_but_packed_later = Draft(
        tuple(
            replace(run, start=run.start - 1) if index == 0 else run
            for index, run in enumerate(later_calls().runs)
        )
    )
    keeping_first = ordered("worth", "keeping", "spend", "calm")
    calm_first = ordered("worth", "calm", "spend", "keeping")
    assert merit(keeping_first, sooner_but_packed_later) > merit(keeping_first, PLAN)
    assert merit(calm_first, sooner_but_packed_later) < merit(calm_first, PLAN)


def test_a_goal_that_the_members_left_out_does_not_count() -> None:
    assert merit(ordered("worth"), later_calls()) == merit(ordered("worth"), PLAN)


def test_shorter_runs_and_fewer_wash_downs_are_cheaper() -> None:
    only = ordered("worth", "spend")
    run = PLAN.runs[0]
    assert merit(only, first_changed(drying=run.drying - 1)) > merit(only, PLAN)
    assert merit(only, first_changed(wash_down=run.unload + 1)) < merit(only, PLAN)
