"""Why a note waits, and the least change that would place it, proved by laying out with that change."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from random import Random

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan, Waiting
from scheduler.domain.rules import RuleBook
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded
from scheduler.explain.changes import Change, changes
from scheduler.explain.costs import cost
from scheduler.explain.placing import Share, by_hand, by_solver, by_steps, fits_alone
from scheduler.explain.sentences import (
    FITS_AS_IT_IS,
    LAY_OUT_LONGER,
    NO_CHANGE,
    NOT_ASKED,
    would_fit,
)
from scheduler.explain.trials import Trial, Trials
from scheduler.problem import Draft
from scheduler.verify import verify
from scheduler.wording import count

__all__ = ["Listen", "Patience", "explained"]

Listen = Callable[[str], bool | None]
SOLVER_FROM_S = 0.5  # a shorter share of the time is better spent in steps


@dataclass(frozen=True, slots=True)
class Patience:
    """How long the changes of one note are tried beyond the first look: seconds, or steps if work is given."""

    seconds_each: float = 3.0
    work: int | None = None
    seed: int = 1


def explained(
    asked: Asked,
    rules: RuleBook,
    plan: Plan,
    draft: Draft,
    *,
    patience: Patience = Patience(),
    watch: Listen | None = None,
) -> Plan:
    """The same plan, each note without a place with its rule, its reason and its remedy.

    draft is what the plan was made from. watch hears which note is looked at and may end the work after
    it by returning True; the notes after it are "not asked". With patience.work the answer is repeatable.
    """
    trials = Trials(asked, rules, draft)
    answers: list[Waiting] = []
    try:
        for number, waiting in enumerate(plan.waiting, start=1):
            told = f"Looking for what would place {waiting.note_id} ({number} of {count(len(plan.waiting), 'note')})"
            stop = watch(told) if watch else None
            answers.append(_Waits(trials, waiting, patience).answer())
            if stop:
                break
    except KeyboardInterrupt:
        pass  # what has been found is kept
    rest = (replace(waiting, reason=NOT_ASKED) for waiting in plan.waiting[len(answers) :])
    return replace(plan, waiting=(*answers, *rest))


class _Waits:
    """One note on the waiting list."""

    def __init__(self, trials: Trials, waiting: Waiting, patience: Patience) -> None:
        self.trials, self.waiting, self.patience = trials, waiting, patience
        self.note = trials.asked.note(waiting.note_id)
        self.random = Random(f"{patience.seed} {waiting.note_id}")

    def answer(self) -> Waiting:
        """The note with its reason and the first change that places it."""
        as_asked = self.trials.changed(self.trials.asked, self.note.id)
        if self._plan(as_asked, by_hand(as_asked, self.random)):
            return self._fits_as_it_is()
        change, plan = self._first_that_works() or (None, None)
        if plan is not None and not verify(self.trials.asked, plan, self.trials.rules):
            return self._fits_as_it_is()  # the change was not needed
        found = cost(self.trials, self.note, self.random, eased=change.rule if change else None)
        return replace(
            self.waiting,
            rule=found.rule,
            reason=found.reason,
            remedy=would_fit(change.words) if change else NO_CHANGE,
            proved=change is not None,
        )

    def _fits_as_it_is(self) -> Waiting:
        return replace(self.waiting, reason=FITS_AS_IT_IS, remedy=LAY_OUT_LONGER, proved=True)

    def _first_that_works(self) -> tuple[Change, Plan] | None:
        """A first look by hand at every change; then more patience with those before the one that works."""
        works: tuple[Change, Plan] | None = None
        earlier: list[tuple[Change, Trial]] = []
        for change in changes(self.trials.asked, self.trials.rules, self.note):
            trial = self.trials.changed(change.asked, self.note.id)
            plan = self._plan(trial, by_hand(trial, self.random))
            if plan is not None:
                works = change, plan
                break
            if fits_alone(trial, self.random):
                earlier.append((change, trial))
        for change, trial in earlier:
            plan = self._harder(trial, len(earlier))
            if plan is not None:
                return change, plan
        return works

    def _harder(self, trial: Trial, among: int) -> Plan | None:
        """More patience with one change: half of its share in steps, the rest with the solver."""
        seconds = self.patience.seconds_each / among
        steps = None if self.patience.work is None else -(-self.patience.work // among)
        begin = time.monotonic()
        solver = steps is not None or seconds >= SOLVER_FROM_S
        first = Share(None if steps else begin + seconds / (1 + solver), steps)
        draft = by_steps(trial, first, self.random)
        if draft is None and solver:
            draft = by_solver(trial, Share(None if steps else begin + seconds, steps), self.random)
        return self._plan(trial, draft)

    def _plan(self, trial: Trial, draft: Draft | None) -> Plan | None:
        """The whole plan of a draft; None where it cannot be made or does not keep every rule."""
        if draft is None:
            return None
        try:
            plan = expanded(trial.asked, trial.problem, draft)
        except BrokenPromise:
            return None
        return None if verify(trial.asked, plan, self.trials.rules) else plan
