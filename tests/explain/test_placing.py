"""Each way to place a lot does so only where everyone else keeps what they have."""

from __future__ import annotations

from random import Random

import pytest

from scheduler.expand import expanded
from scheduler.explain.effort import Share
from scheduler.explain.placing import by_solver, by_steps
from scheduler.reasons.by_hand import by_hand, fits_alone
from scheduler.reasons.trials import Trial, Trials
from scheduler.verify import verify
from tests.explain.weeks import Laid, full_dryer, in_the_way

FORTY_STEPS = Share(0.0, 40)


def _trial(laid: Laid) -> Trial:
    return Trials(laid.asked, laid.rules, laid.draft).changed(laid.asked, "N2")


@pytest.mark.parametrize("tool", [by_steps, by_solver])
def test_another_is_moved_out_of_the_way(tool):
    trial = _trial(in_the_way())
    assert by_hand(trial, Random(1)) is None
    draft = tool(trial, FORTY_STEPS, Random(1))
    plan = expanded(trial.asked, trial.problem, draft)
    assert verify(trial.asked, plan) == ()
    assert [charge.note_id for _, charge in plan.charges()] == ["N2", "N1"]
    assert not plan.waiting


@pytest.mark.parametrize("tool", [by_steps, by_solver])
def test_nobody_loses_a_place_for_it(tool):
    trial = _trial(Laid.out(full_dryer()))
    assert fits_alone(trial, Random(1))
    assert tool(trial, FORTY_STEPS, Random(1)) is None
