"""The main path: what lay_out promises of every plan."""

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.planning import Limits, Progress, lay_out
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.weeks import small_kitchen
from scheduler.whiteboard import whiteboard
from scheduler.worth import worth


def limits(workers: int, work: float = 2) -> Limits:
    return Limits(seconds=None, work=work, seed=5, workers=workers)


@pytest.mark.parametrize("name", ["august", "glut", "spring_day", "dryer_down"])
@pytest.mark.parametrize("rules", [FULL, SIMPLE], ids=lambda rules: rules.name)
def test_every_scenario_is_laid_out_without_a_fault(name: str, rules: RuleBook) -> None:
    asked = load(name)
    laid_out = lay_out(asked, rules, limits=limits(1, work=1), explain_seconds=0)
    proof = laid_out.plan.proof
    assert laid_out.faults == ()
    assert proof is not None
    assert proof.whiteboard_g <= proof.worth_g == laid_out.plan.worth_g <= proof.bound_g


@pytest.mark.parametrize("workers", [1, 2])
def test_the_same_seed_and_work_give_the_same_plan(workers: int) -> None:
    asked = load("august")
    first, again = (lay_out(asked, limits=limits(workers), explain_seconds=0) for _ in range(2))
    assert first.plan == again.plan


@pytest.mark.parametrize("seed", range(8))
def test_small_kitchens_come_to_proof_or_stay_below_the_bound(seed: int) -> None:
    asked: Asked = small_kitchen(seed)
    laid_out = lay_out(asked, limits=limits(1), explain_seconds=0)
    week = problem(asked, FULL)
    assert laid_out.faults == ()
    assert laid_out.plan.worth_g >= worth(week, whiteboard(week))


def test_a_watcher_stops_the_search_and_keeps_the_best() -> None:
    heard: list[Progress] = []

    def watch(progress: Progress) -> bool:
        heard.append(progress)
        return len(heard) >= 3

    stopped = lay_out(load("august"), limits=Limits(seconds=60), watch=watch)
    assert stopped.stopped
    assert stopped.faults == ()
    assert stopped.plan.worth_g >= heard[0].worth_g > 0
