"""A mend can always be written out: with other tables and hands, or as what merely stays."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler import prepare
from scheduler.domain.rules import FULL
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded
from scheduler.kitchen_suites import stopped
from scheduler.model.climb import Budget
from scheduler.problem import Problem
from scheduler.re_lay import in_hand, mend, re_laid
from scheduler.re_lay.mend import Course, mended
from scheduler.re_lay.small import Small, by_hand, improved
from scheduler.re_lay.week import Week, week_of
from scheduler.weeks import week as invented
from scheduler.whiteboard import whiteboard
from scheduler.worth import worth
from tests.re_lay.test_re_lay import NOW, SHORT, in_the_night

STEPS = Budget(None, 10, 1.0)


def after_a_stop(number: int) -> Week:
    """An invented week laid out by hand, in which a dryer stops."""
    asked = invented(number)
    problem = prepare.problem(asked)
    met, now = stopped(asked, plan := expanded(asked, problem, whiteboard(problem)))
    return week_of(in_hand(met, plan, now), now, ())


@pytest.mark.parametrize(("number", "seed"), [(1, 1), (1, 2), (129, 1), (129, 4)])
def test_whatever_is_found_beside_what_has_begun_can_be_written_out(number: int, seed: int):
    """What could stay, but was free to move, may have to change its tables."""
    week = after_a_stop(number)
    going = week.held(week.going, worth(week.problem, week.whole.firm.draft))
    found = improved(Small(going, by_hand(week).draft), STEPS, seed)
    assert mended(week, [found], Course("whole", 0.0)).worth_g == worth(going, found.draft)


def test_where_nothing_better_can_be_written_out_what_stays_is_the_mend(
    monkeypatch: pytest.MonkeyPatch,
):
    asked, plan = in_the_night(FULL)
    stay: list[Any] = []

    def only_what_stays(asked: Any, problem: Problem, draft: Any) -> Any:
        stays = {charge.lot for run in draft.runs for charge in run.charges}
        if stays > problem.firm.lots:
            raise BrokenPromise("hands do not suffice")
        stay.append(stays)
        return expanded(asked, problem, draft)

    monkeypatch.setattr(mend, "expanded", only_what_stays)
    found = re_laid(asked, plan, NOW, limits=SHORT)
    assert stay
    assert (found.proposed, found.whole) == ("small", None)
    assert found.small.gained == ()
    assert all(each.now is None for each in found.small.moves)
