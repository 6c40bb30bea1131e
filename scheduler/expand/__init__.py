"""From a draft to the plan and back: letters, weights, places, baskets, rack positions and names
of hands."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Duty, Plan, Run
from scheduler.expand.added import added
from scheduler.expand.back import draft_of
from scheduler.expand.charges import Kitchenful
from scheduler.expand.duties import Need, named
from scheduler.expand.runs import (
    AllWeighed,
    in_full,
    key,
    pair_duties,
    run_needs,
    waiting,
    weighed,
)
from scheduler.problem import Draft, DraftRun, Problem

__all__ = ["added", "draft_of", "expanded"]


def expanded(asked: Asked, problem: Problem, draft: Draft) -> Plan:
    """The whole plan that a draft stands for; BrokenPromise where places or hands do not
    suffice."""
    shared = Kitchenful(asked, problem)
    drafts = sorted(draft.runs, key=lambda run: (run.start, run.dryer))
    all_weighed = weighed(problem, drafts)
    runs = tuple(
        in_full(shared, run, [all_weighed[key(run), charge.lot] for charge in run.charges], name)
        for name, run in _numbered(problem, drafts)
    )
    return Plan(
        week=asked.week,
        rules=problem.rules.name,
        runs=runs,
        duties=_duties(shared, drafts, runs, all_weighed) if problem.rules.hands else (),
        waiting=tuple(each for lot in problem.lots for each in waiting(lot, runs)),
    )


def _numbered(problem: Problem, drafts: list[DraftRun]) -> Iterator[tuple[str, DraftRun]]:
    count: dict[int, int] = {}
    for run in drafts:
        count[run.dryer] = count.get(run.dryer, 0) + 1
        yield f"{problem.dryers[run.dryer].id}-{count[run.dryer]}", run


def _duties(
    shared: Kitchenful, drafts: list[DraftRun], runs: tuple[Run, ...], all_weighed: AllWeighed
) -> tuple[Duty, ...]:
    needs: list[Need] = []
    pairs: list[Duty] = []
    for draft, run in zip(drafts, runs, strict=True):
        needs.extend(run_needs(run))
        for draft_charge, charge in zip(draft.charges, run.charges, strict=True):
            its = all_weighed[key(draft), draft_charge.lot]
            needs.extend(shared.needs(its, charge))
            pairs.extend(pair_duties(shared, its, charge))
    duties = (*named(shared.asked, needs), *pairs)
    return tuple(sorted(duties, key=lambda duty: (duty.span, duty.who)))
