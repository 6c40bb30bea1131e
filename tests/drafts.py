"""Drafts for tests of going on from one."""

from __future__ import annotations

from random import Random

from scheduler.problem import Draft, Problem
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth


def better_draft(week: Problem) -> Draft:
    """One that is worth more than the whiteboard's, found by small steps from it."""
    now, ruin = whiteboard(week), Ruin(week, Random(1))
    for _ in range(5000):
        found = ruin.step(now)
        if found is not None and worth(week, found) > worth(week, now):
            return found
    raise AssertionError("no step was for the better")
