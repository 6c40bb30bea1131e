"""From which drafts climbers are sent on."""

from dataclasses import replace
from random import Random

import pytest

from scheduler.model import search
from scheduler.model.climb import Budget
from scheduler.model.crew import Better, Crew
from scheduler.model.pace import PATIENCE
from scheduler.model.search import APART, FAR, Limits
from scheduler.model.settle import Settling
from scheduler.prepare import problem
from scheduler.problem import Draft, Problem
from scheduler.scenario import load
from scheduler.weeks import week as invented
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth
from tests.drafts import better_draft

ROUNDS = 10


class Scripted(Crew):
    """A crew of no process: whatever they are sent, each climber comes back with its own draft."""

    def __init__(self, *drafts: Draft) -> None:
        self.drafts = drafts
        self.sent: list[list[tuple[Draft, Draft | None]]] = [[] for _ in drafts]
        self.budgets: list[Budget] = []

    @property
    def climbing(self) -> int:
        return len(self.drafts)

    def begin(self, problem: Problem) -> None:
        pass

    def prove(self, *, at_once: bool) -> None:
        assert not at_once, "it ends by the clock, and work is counted here"

    def send(self, member: int, draft: Draft, budget: Budget, other: Draft | None = None) -> None:
        self.sent[member].append((draft, other))
        self.budgets.append(budget)

    def hear(self, seconds: float) -> list[tuple[int, int | Better]]:
        found = (Better(each, final=True, steps=PATIENCE // 2) for each in self.drafts)
        return list(enumerate(found))

    def dismiss(self) -> None:
        pass


@pytest.fixture(scope="module")
def week() -> Problem:
    return problem(load("august"))


def sent_on(
    week: Problem, monkeypatch: pytest.MonkeyPatch, *drafts: Draft
) -> list[list[tuple[Draft, Draft | None]]]:
    return crew_of(week, monkeypatch, *drafts).sent


def crew_of(week: Problem, monkeypatch: pytest.MonkeyPatch, *drafts: Draft) -> Scripted:
    crew = Scripted(*drafts)
    monkeypatch.setattr(search, "Crew", lambda *_: crew)
    monkeypatch.setattr(Settling, "days", lambda _: [])
    search.run(week, Limits(seconds=None, work=ROUNDS, workers=len(drafts)))
    return crew


def without(week: Problem, draft: Draft, count: int) -> Draft:
    """A draft without so many of its lots, those that are worth least."""
    racks = draft.racks_of(len(week.lots))
    placed = [lot for lot in week.lots if racks[lot.index]]
    least = sorted(placed, key=lambda lot: lot.worth(racks[lot.index]))
    off = {lot.index for lot in least[:count]}
    return Ruin(week, Random(1)).rebuilt(draft, off).draft()


def test_each_goes_its_own_way_beside_the_other_until_the_end_is_near(
    week: Problem, monkeypatch: pytest.MonkeyPatch
):
    best = whiteboard(week)
    near = without(week, best, 1)
    assert FAR * worth(week, best) < worth(week, near) < worth(week, best)
    first, second = sent_on(week, monkeypatch, best, near)
    late = [number for number in range(ROUNDS + 1) if number / ROUNDS > APART]
    assert first[1:] == [(best, near)] * ROUNDS
    assert second[1 : late[0]] == [(near, best)] * (late[0] - 1)
    assert second[late[0] :] == [(best, near)] * len(late)


def test_who_has_fallen_far_behind_goes_on_from_the_best(
    week: Problem, monkeypatch: pytest.MonkeyPatch
):
    best = whiteboard(week)
    far = without(week, best, 5)
    assert worth(week, far) < FAR * worth(week, best)
    _, second = sent_on(week, monkeypatch, best, far)
    assert second[1:] == [(best, far)] * ROUNDS


def test_in_a_large_week_the_hand_goes_on_alone_until_it_brings_nothing(
    monkeypatch: pytest.MonkeyPatch,
):
    large = problem(invented(1, lots=60, dryers=8))
    first = crew_of(large, monkeypatch, whiteboard(large)).budgets[:3]
    assert [budget.by_hand for budget in first] == [True, True, False]
    assert [budget.window for budget in first] == [False, False, True]


def test_in_a_smaller_one_windows_follow_the_first_round(
    week: Problem, monkeypatch: pytest.MonkeyPatch
):
    first = crew_of(week, monkeypatch, whiteboard(week)).budgets[:3]
    assert [budget.window for budget in first] == [False, True, True]
    assert not any(budget.by_hand for budget in first)


def test_what_is_pinned_and_has_a_place_is_no_proof(week: Problem, monkeypatch: pytest.MonkeyPatch):
    draft = whiteboard(week)
    placed = {charge.lot for run in draft.runs for charge in run.charges}
    lots = tuple(replace(lot, pinned=lot.index == min(placed)) for lot in week.lots)
    pinned = replace(week, lots=lots)
    assert len(crew_of(pinned, monkeypatch, draft).budgets) == ROUNDS + 1


def test_who_is_alone_has_nobody_to_take_over_from(week: Problem, monkeypatch: pytest.MonkeyPatch):
    (only,) = sent_on(week, monkeypatch, better_draft(week))
    assert {other for _, other in only} == {None}
