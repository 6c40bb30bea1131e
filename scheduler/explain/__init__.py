"""Why a note waits, and the least change that would place it, proved by laying out with it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from random import Random

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan, Waiting
from scheduler.domain.rules import RuleBook
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded
from scheduler.explain.effort import Share
from scheduler.explain.placing import by_solver, by_steps
from scheduler.problem import Draft
from scheduler.reasons.by_hand import by_hand, fits_alone
from scheduler.reasons.changes import Change, later_starts, other_dryers, splits, together
from scheduler.reasons.costs import cost
from scheduler.reasons.more import a_dryer_more, a_hand_more, a_station_more, an_hour_more
from scheduler.reasons.sentences import (
    FIRM_IN_PART,
    FITS_AS_IT_IS,
    LONGER,
    NO_CHANGE,
    NOT_ASKED,
    ruled,
    would_fit,
)
from scheduler.reasons.trials import Trial, Trials
from scheduler.reasons.wished import pinned_to, without_wishes
from scheduler.verify import verify

__all__ = ["Listen", "Patience", "explained"]

Listen = Callable[[str], bool | None]
Tool = Callable[[Trial, Share, Random], Draft | None]
STEPS_PART = 0.4  # of the seconds for a note; the solver has the rest


@dataclass(frozen=True, slots=True)
class Patience:
    """How long the changes for one note are tried beyond the first look.

    Seconds; or, if work is given, so many steps for each kind of change, which is repeatable.
    """

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

    draft is what the plan was made from. watch hears which note is looked at and may end the work
    after it by returning True; the notes behind it are "not asked".
    """
    trials = Trials(asked, rules, draft)
    answers: list[Waiting] = []
    try:
        for number, waiting in enumerate(plan.waiting, start=1):
            place = f"{number} of {len(plan.waiting)}"
            told = f"Looking for what would place {waiting.note_id} ({place})"
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
        self.asked, self.rules = trials.asked, trials.rules
        self.note = self.asked.note(waiting.note_id)
        self.random = Random(f"{patience.seed} {waiting.note_id}")

    def answer(self) -> Waiting:
        """The note with its reason and the first change that places it."""
        as_asked = self._trial(self.asked)
        if as_asked.lot.index in as_asked.problem.firm.lots:
            reason = ruled(FIRM_IN_PART, 18)
            return replace(self.waiting, rule=18, reason=reason, remedy=NO_CHANGE)
        if self._plan(as_asked, by_hand(as_asked, self.random)):
            return self._fits_as_it_is()
        change, plan = self._first_that_works() or (None, None)
        if plan is not None and not verify(self.asked, plan, self.rules):
            return self._fits_as_it_is()  # the change was not needed
        found = cost(self.trials, self.note, self.random, eased=change.rule if change else None)
        pinned = pinned_to(self.asked, self.note)
        return replace(
            self.waiting,
            rule=found.rule,
            reason=f"It is pinned to {pinned}. {found.reason}" if pinned else found.reason,
            remedy=self._would_fit(change.words) if change else NO_CHANGE,
            proved=change is not None,
        )

    def _fits_as_it_is(self) -> Waiting:
        remedy = self._would_fit(LONGER)
        return replace(self.waiting, reason=FITS_AS_IT_IS, remedy=remedy, proved=True)

    def _would_fit(self, words: str) -> str:
        return would_fit(words, in_part=self.waiting.field_g < self.note.field_g)

    def _first_that_works(self) -> tuple[Change, Plan] | None:
        """A look by hand at every change; then more patience with those before the one that works:
        first in steps, then with the solver."""
        kinds, found = self._by_hand()
        for tool, part in ((by_steps, STEPS_PART), (by_solver, 1 - STEPS_PART)):
            found = self._patiently(_before(kinds, found), tool, part) or found
        return found

    def _by_hand(self) -> tuple[list[list[Change]], tuple[Change, Plan] | None]:
        """The first change that works at a first look, and by kind those worth more than that."""
        kinds: list[list[Change]] = []
        for kind in self._kinds():
            kinds.append([])
            for change in kind:
                trial = self._trial(change.to(self.asked))
                plan = self._plan(trial, by_hand(trial, self.random))
                if plan is not None:
                    return kinds, (change, plan)
                if fits_alone(trial, self.random):
                    kinds[-1].append(change)
        return kinds, None

    def _kinds(self) -> Iterator[Iterable[Change]]:
        """The changes by kind, in the order in which they are tried."""
        asked, rules, note = self.asked, self.rules, self.note
        yield without_wishes(asked, note)
        yield later_starts(asked, note)
        yield splits(asked, rules, note)
        yield other_dryers(asked, note)
        yield an_hour_more(asked, note)
        yield a_station_more(asked, rules, note)
        yield a_dryer_more(asked, note)
        yield a_hand_more(asked, rules, note)

    def _patiently(
        self, kinds: list[list[Change]], tool: Tool, part: float
    ) -> tuple[Change, Plan] | None:
        """Kind by kind; where all changes of a kind together do not help, none of them is tried."""
        for kind in kinds:
            share = part / len(kinds)
            if len(kind) > 1 and not self._with(together(self.asked, kind), tool, share):
                continue
            for change in kind:
                plan = self._with(change.to(self.asked), tool, share / len(kind))
                if plan is not None:
                    return change, plan
        return None

    def _with(self, changed: Asked, tool: Tool, part: float) -> Plan | None:
        """What a tool finds in a changed week, in that part of the patience for a note."""
        trial = self._trial(changed)
        effort = Share(part * self.patience.seconds_each, self.patience.work)
        return self._plan(trial, tool(trial, effort, self.random))

    def _trial(self, changed: Asked) -> Trial:
        return self.trials.changed(changed, self.note.id)

    def _plan(self, trial: Trial, draft: Draft | None) -> Plan | None:
        """The whole plan of a draft; None where it cannot be made or breaks a rule."""
        if draft is None:
            return None
        try:
            plan = expanded(trial.asked, trial.problem, draft)
        except BrokenPromise:
            return None
        return None if verify(trial.asked, plan, self.rules) else plan


def _before(kinds: list[list[Change]], found: tuple[Change, Plan] | None) -> list[list[Change]]:
    """The changes, by kind, that come before the one that was found to work."""
    before: list[list[Change]] = []
    for kind in kinds:
        if found and found[0] in kind:
            before.append(kind[: kind.index(found[0])])
            break
        before.append(kind)
    return [kind for kind in before if kind]
