"""One week laid out with a small, repeatable limit in one process: by hand, then ruin and recreate.

The same steps as the first round of a lay-out; no bound is proved. What waits is given its rule.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan, Waiting
from scheduler.domain.rules import FULL
from scheduler.errors import BrokenPromise, StalePlan
from scheduler.expand import expanded
from scheduler.expand.back import draft_of
from scheduler.model.climb import Budget, Climber
from scheduler.problem import Draft, Problem
from scheduler.reasons.by_hand import by_hand
from scheduler.reasons.costs import cost
from scheduler.reasons.sentences import FITS_AS_IT_IS
from scheduler.reasons.trials import Trials, moved_into
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth

WARMTH = 0.5


@dataclass(frozen=True, slots=True)
class Effort:
    """steps of ruin and recreate: a lay-out's round has 150; seed: where chance starts."""

    steps: int = 150
    seed: int = 1


def lay_out_quickly(asked: Asked, effort: Effort, *, start: Plan | None = None) -> Plan:
    """A plan that the verifier accepts; never worth less than start, where that fits this week.

    start: a plan of the same notes in the same or another kitchen, which is the answer where it
    places all of them and breaks no rule. What of it no longer fits is taken off before the search
    goes on from it.
    """
    problem = prepare.problem(asked)
    if start and _places_all(problem, start) and not verify(asked, start, FULL):
        return replace(start, seed=effort.seed, proof=None)
    best = max(_starts(asked, problem, start), key=lambda each: worth(problem, each))
    budget = Budget(None, effort.steps, WARMTH)
    draft = best
    if effort.steps:
        draft = Climber(problem, effort.seed).round(best, budget, lambda *_: None)
    plan = expanded(asked, problem, draft)
    if verify(asked, plan, FULL):
        raise BrokenPromise(f"a plan of {asked.week} breaks a rule")
    return replace(plan, seed=effort.seed)


def _places_all(problem: Problem, plan: Plan) -> bool:
    return plan.worth_g >= sum(lot.prepared_g for lot in problem.lots)


def _starts(asked: Asked, problem: Problem, start: Plan | None) -> list[Draft]:
    """What to begin with: the whiteboard, and what fits of the plan given."""
    found = [whiteboard(problem)]
    draft = None if start is None else what_fits(asked, problem, start)
    return found if draft is None else [*found, draft]


def what_fits(asked: Asked, problem: Problem, plan: Plan) -> Draft | None:
    """What of a plan of the same notes fits that week, too; None where nothing of it does."""
    try:
        draft = moved_into(Ruin(problem, Random(0)), draft_of(problem, plan))
        sound = not verify(asked, expanded(asked, problem, draft), FULL)
    except (StalePlan, BrokenPromise, LookupError):
        return None
    return draft if sound else None


def with_reasons(asked: Asked, plan: Plan) -> Plan:
    """The plan with the rule that costs each waiting note its place, found by hand."""
    if not plan.waiting:
        return plan
    problem = prepare.problem(asked)
    trials = Trials(asked, FULL, draft_of(problem, plan), problem, chances=1)
    return replace(plan, waiting=tuple(_told(trials, asked, each) for each in plan.waiting))


def _told(trials: Trials, asked: Asked, waiting: Waiting) -> Waiting:
    random = Random(waiting.note_id)
    if by_hand(trials.changed(asked, waiting.note_id), random) is not None:
        return replace(waiting, reason=FITS_AS_IT_IS)
    found = cost(trials, asked.note(waiting.note_id), random, eased=None)
    return replace(waiting, rule=found.rule, reason=found.reason)
