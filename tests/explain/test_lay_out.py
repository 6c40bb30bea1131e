"""Laying out explains its waiting list, unless asked not to."""

from __future__ import annotations

from scheduler.planning import Limits, lay_out
from tests.explain.weeks import full_dryer

REPEATABLE = Limits(seconds=None, work=1, workers=1)


def test_the_waiting_list_comes_with_reasons_and_keeps_the_rules():
    heard: list[str] = []
    laid_out = lay_out(full_dryer(), limits=REPEATABLE, on_explain=heard.append)
    (waiting,) = laid_out.plan.waiting
    assert waiting.remedy == "It would fit if there were one more dryer like Cabinet D1."
    assert waiting.proved
    assert heard == [f"Looking for what would place {waiting.note_id} (1 of 1)"]
    assert laid_out.faults == ()


def test_it_may_be_left_unexplained():
    laid_out = lay_out(full_dryer(), limits=REPEATABLE, explain_seconds=0)
    (waiting,) = laid_out.plan.waiting
    assert (waiting.rule, waiting.reason, waiting.remedy) == (None, "", "")
