"""Room on a dryer between two runs, before the first and after the last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scheduler.problem import DraftRun, DryerSpec, Problem


class Gap(NamedTuple):
    """Room on a dryer between two runs, for a run of one group.

    opens: first tick at which a run may start; closes: staffed time by which it must be out and
    turned round; wash_before, wash_after: whether the run before, or this one, then needs a
    wash-down.
    """

    before: DraftRun | None
    after: DraftRun | None
    opens: int
    closes: int | None
    wash_before: bool
    wash_after: bool


def gaps(problem: Problem, dryer: DryerSpec, runs: Sequence[DraftRun], group: int) -> Iterator[Gap]:
    """The gaps between a dryer's runs in which one of the group may start, in order of time."""
    for before, after in zip((None, *runs), (*runs, None), strict=True):
        opens, wash_before, wash_after, closes = 0, False, False, None
        if before is not None:
            wash_before = (problem.lots[before.charges[0].lot].group, group) in problem.washes
            staffed = problem.staffed_time(before.unload) + dryer.turn_round
            opens = problem.at_staffed_time(staffed + dryer.wash_down * wash_before)
            opens = max(opens, _washed(problem, dryer, before))
        elif dryer.last_group is not None and (dryer.last_group, group) in problem.washes:
            opens = problem.at_staffed_time(dryer.free_from + dryer.wash_down)
        if after is not None:
            wash_after = (group, problem.lots[after.charges[0].lot].group) in problem.washes
            closes = problem.staffed_time(after.start) - dryer.wash_down * wash_after
        yield Gap(before, after, opens, closes, wash_before, wash_after)


def _washed(problem: Problem, dryer: DryerSpec, run: DraftRun) -> int:
    """The first start after a wash-down that is firm; 0 where there is none."""
    at = problem.firm.wash_downs.get(run.key)
    if at is None:
        return 0
    rest = dryer.turn_round - dryer.unload
    return problem.at_staffed_time(problem.staffed_time(at + dryer.wash_down) + rest)
