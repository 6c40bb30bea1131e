"""The main path: from what is asked to a plan that the verifier accepts, with its proof, and with
the reason and the remedy of every note that waits."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan, Proof
from scheduler.domain.rules import FULL, RuleBook
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded, unkept
from scheduler.explain import Listen, Patience, explained
from scheduler.keeping import keeping
from scheduler.model import search
from scheduler.model.search import Limits, Progress, Watch
from scheduler.problem import Draft, Problem
from scheduler.units import Grams
from scheduler.verify import Fault, verify
from scheduler.worth import value, worth

__all__ = ["LaidOut", "Limits", "Progress", "lay_out"]

EXPLAIN_SECONDS = 2.0  # for each note that waits
EXPLAIN_STEPS = 40  # instead of seconds, where the lay-out is to be repeatable


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A plan, the faults that the verifier finds in it (there should be none), and how it was
    found."""

    plan: Plan
    faults: tuple[Fault, ...]
    first_plan_s: float
    wall_s: float
    rounds: int
    stopped: bool


def lay_out(
    asked: Asked,
    rules: RuleBook = FULL,
    *,
    limits: Limits | None = None,
    watch: Watch | None = None,
    explain_seconds: float = EXPLAIN_SECONDS,
    on_explain: Listen | None = None,
) -> LaidOut:
    """Lay out the week: prepare, search, expand, explain, verify.

    What asked.promised holds stays where it is as far as it can (rule 18); the plan names who is
    moved, and which of asked.wishes it does not keep. explain_seconds: for each note that waits,
    after the search; 0 leaves the waiting list unexplained, as does a search that was stopped.
    on_explain hears which note is looked at and may end it by returning True. BrokenPromise if a
    draft cannot be expanded. limits.start is left aside where it is no faultless draft of this
    week.
    """
    begin, limits = time.monotonic(), limits or Limits()
    problem = keeping(asked, prepare.problem(asked, rules))
    limits = _from_sound_start(asked, problem, limits)
    found = search.run(problem, limits, watch)
    plan = expanded(asked, problem, found.draft)
    proof = Proof(
        worth_g=plan.worth_g,
        bound_g=Grams(max(found.bound_g, plan.worth_g)),
        whiteboard_g=Grams(worth(problem, found.whiteboard)),
    )
    plan = replace(plan, proof=proof, seed=limits.seed, work=limits.work)
    if explain_seconds and not found.stopped:
        steps = None if limits.work is None else EXPLAIN_STEPS
        patience = Patience(explain_seconds, work=steps, seed=limits.seed)
        plan = explained(asked, rules, plan, found.draft, patience=patience, watch=on_explain)
        plan = replace(plan, unkept=unkept(asked, plan))
    return LaidOut(
        plan=plan,
        faults=verify(asked, plan, rules),
        first_plan_s=found.first_plan_s,
        wall_s=time.monotonic() - begin,
        rounds=found.rounds,
        stopped=found.stopped,
    )


def _from_sound_start(asked: Asked, problem: Problem, limits: Limits) -> Limits:
    """The limits, with the posted plan in place of a start that is not there, is worth less or
    does not fit, as one kept by older code may not."""
    posted = problem.firm.as_posted
    if limits.start is None or not _is_sound(asked, problem, limits.start):
        return replace(limits, start=posted)
    if posted is not None and value(problem, posted) > value(problem, limits.start):
        return replace(limits, start=posted)
    return limits


def _is_sound(asked: Asked, problem: Problem, draft: Draft) -> bool:
    try:
        return not verify(asked, expanded(asked, problem, draft), problem.rules)
    except (BrokenPromise, LookupError):
        return False
