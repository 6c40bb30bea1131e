"""What no plan can beat: a linear relaxation of the week."""

from __future__ import annotations

from scheduler.problem import Problem


def first_bound(problem: Problem) -> int:
    return sum(lot.prepared_g for lot in problem.lots)
