"""From a draft to a better one, by a model of what is free beside what is kept of it."""

from __future__ import annotations

from scheduler.model.hint import hint
from scheduler.model.objective import add_objective
from scheduler.model.parts import Build
from scheduler.model.solve import Effort, solved
from scheduler.problem import Draft, Problem
from scheduler.worth import value


def improved(build: Build, draft: Draft, effort: Effort) -> Draft | None:
    """The draft of the model that is worth most, begun from the one that is known; None where
    nothing can be placed or none was found."""
    if not build.charges:
        return None
    add_objective(build)
    hint(build, draft, effort)
    return solved(build, effort)


def gain(problem: Problem, draft: Draft, found: Draft | None) -> int:
    """How much more what was found is worth, by what drafts are compared by; below 0 where nothing
    was found."""
    return -1 if found is None else value(problem, found) - value(problem, draft)
