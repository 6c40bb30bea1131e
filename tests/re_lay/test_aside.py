"""The second climber: what it finds counts where it is worth more and can be placed."""

from __future__ import annotations

import pytest

from scheduler.domain.rules import FULL
from scheduler.model.climb import Budget
from scheduler.model.crew import Better, Crew
from scheduler.model.search import Limits
from scheduler.problem import Draft, Problem
from scheduler.re_lay.aside import LEAST_S, Second, second
from scheduler.re_lay.small import Small, improved
from tests.re_lay.test_early import by_hand_in_the_night

NOTHING = Budget(None, 0, 0.0)
SOME = Budget(None, 40, 0.0)


class Told(Crew):
    """A crew of no process, that has found some drafts."""

    def __init__(self, *drafts: Draft) -> None:
        self.drafts = list(drafts)
        self.asked: list[object] = []

    def begin(self, problem: Problem) -> None:
        self.asked.append(problem)

    def send(self, member: int, draft: Draft, budget: Budget, other: Draft | None = None) -> None:
        self.asked.append((member, draft, budget))

    def hear(self, seconds: float) -> list[tuple[int, int | Better]]:
        return [(0, Better(self.drafts.pop(0), final=False))] if self.drafts else []


@pytest.fixture(scope="module")
def small() -> Small:
    _, found = by_hand_in_the_night(FULL)
    return found


@pytest.fixture(scope="module")
def better(small: Small) -> Draft:
    found = improved(small, SOME, 1)
    assert found.value > small.value
    return found.draft


def test_the_better_of_both_is_taken(small: Small, better: Draft):
    crew = Told(Draft(()), better, small.draft)
    assert Second(crew).improved(small, NOTHING, 1).draft == better
    assert crew.asked == [small.problem, (0, small.draft, NOTHING)]


def test_what_cannot_be_placed_does_not_count(
    small: Small, better: Draft, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(
        "scheduler.re_lay.aside.can_be_placed", lambda _, draft: draft is not better
    )
    assert Second(Told(better)).improved(small, NOTHING, 1).draft == small.draft


def test_alone_it_climbs_in_this_process(small: Small, better: Draft):
    assert Second(None).improved(small, SOME, 1).draft == better


@pytest.mark.parametrize(
    "limits",
    [
        Limits(seconds=LEAST_S, workers=1),
        Limits(seconds=LEAST_S - 1),
        Limits(seconds=None, work=1),
        Limits(seconds=None),
    ],
    ids=["one worker", "short", "work is counted", "no limit"],
)
def test_it_is_not_called(limits: Limits):
    with second(limits) as beside:
        assert beside.crew is None


def test_a_mend_stands_without_it(small: Small, better: Draft):
    with second(Limits(seconds=LEAST_S)) as beside:
        assert beside.crew
        (process,) = beside.crew.processes
        process.kill()
        process.join()
        assert beside.improved(small, SOME, 1).draft == better


def test_it_climbs_in_a_process_that_is_gone_afterwards(small: Small):
    with second(Limits(seconds=LEAST_S)) as beside:
        crew = beside.crew
        assert crew
        crew.begin(small.problem)
        crew.send(0, small.draft, SOME)
        found: list[Better] = []
        while not any(each.final for each in found):
            found += [each for _, each in crew.hear(1.0) if isinstance(each, Better)]
        assert Small(small.problem, found[-1].draft).value > small.value
    assert not any(process.is_alive() for process in crew.processes)
