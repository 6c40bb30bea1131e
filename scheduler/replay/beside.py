"""One week as it is and as supposed, each looked at as long from the same start, or from nothing:
what it is worth.

Nothing of it is a plan to be kept: it is made to be compared, and forgotten.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.errors import BrokenPromise
from scheduler.keeping import keeping
from scheduler.model.search import Limits, Progress, Watch
from scheduler.planning import LaidOut, lay_out
from scheduler.problem import Draft
from scheduler.replay.fair import fair
from scheduler.replay.laying import what_fits
from scheduler.units import Grams

LOOKS = 3  # for a common start, then as it is, then as supposed
LOOKS_AFRESH = 2


@dataclass(frozen=True, slots=True)
class Tried:
    """without: the week as it is. The bounds: what no plan of either week can beat."""

    without: Plan
    with_it: Plan
    without_bound_g: Grams
    with_bound_g: Grams
    stopped: bool


def tried(
    asked: Asked,
    changed: Asked,
    limits: Limits,
    watch: Watch | None = None,
    *,
    afresh: bool = False,
) -> Tried:
    """limits: for all looks together. watch hears of all of them as of one, and may stop them.

    afresh: each from nothing, and neither given what the other found: for another order, whose
    plans are all plans of the week as it is, too. BrokenPromise where a plan that was found breaks
    a rule.
    """
    looks = _Looks(limits, watch or (lambda _: None), LOOKS_AFRESH if afresh else LOOKS)
    if afresh:
        own, other = looks.at(asked, None), looks.at(changed, None)
        found = (own.plan, other.plan, _bound_g(own.plan, own), _bound_g(other.plan, other))
        return Tried(*found, looks.stopped)
    start = looks.at(asked, limits.start)
    own = looks.at(asked, _fitting(asked, start.plan))
    other = looks.at(changed, _fitting(changed, start.plan))
    without, with_it = fair([(asked, own.plan), (changed, other.plan)])
    return Tried(
        without,
        with_it,
        _bound_g(without, start, own),
        _bound_g(with_it, other),
        looks.stopped,
    )


@dataclass
class _Looks:
    limits: Limits
    watch: Watch
    of: int
    done: int = 0
    stopped: bool = False

    def at(self, asked: Asked, start: Draft | None) -> LaidOut:
        """One look more; none is explained, for it is the comparison that is asked for."""
        limits = replace(self.limits, seconds=self._each(), start=start)
        found = lay_out(asked, limits=limits, watch=self._heard, explain_seconds=0)
        if found.faults:
            fault = found.faults[0]
            raise BrokenPromise(f"a plan breaks rule {fault.rule}: {fault.message}")
        self.done += 1
        self.stopped = self.stopped or found.stopped
        return found

    def _each(self) -> float | None:
        return None if self.limits.seconds is None else self.limits.seconds / self.of

    def _heard(self, found: Progress) -> bool:
        each = self._each()
        if each is None:
            return bool(self.watch(found))
        seconds = self.done * each + min(found.seconds, each)  # the end of a look comes a bit late
        return bool(self.watch(replace(found, seconds=seconds)))


def _fitting(asked: Asked, plan: Plan) -> Draft | None:
    return what_fits(asked, keeping(asked, prepare.problem(asked)), plan)


def _bound_g(plan: Plan, *found: LaidOut) -> Grams:
    """The least that was proved, and never less than what was found."""
    proved = [each.plan.proof.bound_g for each in found if each.plan.proof]
    return max(plan.worth_g, min(proved, default=plan.worth_g))
