"""How good the plans are and how soon: bundled and invented weeks laid out and measured."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Proof
from scheduler.domain.rules import FULL, RuleBook, less
from scheduler.errors import BrokenPromise
from scheduler.scenario import load
from scheduler.units import Grams, kg
from scheduler.verify import Fault
from scheduler.weeks import week

if TYPE_CHECKING:
    from scheduler.planning import Limits, Progress

CHECKPOINTS_S = (5, 10, 30, 60)
PEAK_LOTS, PEAK_DRYERS = 60, 8
LEFT_OUT = ("hands", "tables", "steamers", "waits", "power", "wash_downs")

Tell = Callable[[str, "Progress"], object]  # hears what is laid out, and how it goes


@dataclass(frozen=True, slots=True)
class Outcome:
    """One lay-out measured. gaps: the gap at each checkpoint (seconds) that was reached."""

    name: str
    rules: str
    seed: int
    notes: int
    proof: Proof
    faults: tuple[Fault, ...]
    rounds: int
    stopped: bool
    first_plan_s: float
    wall_s: float
    gaps: dict[int, float]

    @property
    def over_whiteboard(self) -> float | None:
        """Worth as a multiple of the whiteboard plan's; None where that places nothing."""
        board = self.proof.whiteboard_g
        return self.proof.worth_g / board if board else None


@dataclass(frozen=True, slots=True)
class RuleCost:
    """What one rule costs: the same week laid out with it and without it, prepared grams."""

    full: Outcome
    without: Outcome

    @property
    def gained_g(self) -> Grams:
        """Between the plans found; below 0 where the search without the rule found less."""
        return Grams(self.without.proof.worth_g - self.full.proof.worth_g)

    @property
    def least_g(self) -> Grams:
        """Proved: the best plans lie at least so far apart."""
        return Grams(max(0, self.without.proof.worth_g - self.full.proof.bound_g))

    @property
    def most_g(self) -> Grams:
        """Proved: the best plans lie at most so far apart."""
        return Grams(max(0, self.without.proof.bound_g - self.full.proof.worth_g))


def suite(scenarios: Iterable[str], *, weeks: int, peaks: int, seed: int) -> Iterator[Asked]:
    """Bundled scenarios, then invented weeks and peak weeks, each from that seed on."""
    yield from map(load, scenarios)
    yield from (week(each) for each in range(seed, seed + weeks))
    for each in range(seed, seed + peaks):
        yield replace(week(each, lots=PEAK_LOTS, dryers=PEAK_DRYERS), name=f"peak-{each}")


def run(cases: Iterable[Asked], limits: Limits, tell: Tell | None = None) -> Iterator[Outcome]:
    """Lay out one case after the other; a case that was stopped by hand is the last."""
    for asked in cases:
        outcome = measured(asked, FULL, limits, tell)
        yield outcome
        if outcome.stopped:
            return


def rule_costs(asked: Asked, limits: Limits, tell: Tell | None = None) -> Iterator[RuleCost]:
    """The week under all rules, and without each of LEFT_OUT in turn, within the same limits."""
    full = measured(asked, FULL, limits, tell)
    for switch in LEFT_OUT:
        if full.stopped:
            return
        without = measured(asked, less(switch), limits, tell)
        yield RuleCost(full, without)
        if without.stopped:
            return


def measured(asked: Asked, rules: RuleBook, limits: Limits, tell: Tell | None = None) -> Outcome:
    """Lay out once, and hear on the way how the gap closes."""
    from scheduler.planning import lay_out  # noqa: PLC0415 only who lays out loads the solver

    heard: list[tuple[float, float]] = []

    def watch(progress: Progress) -> None:
        heard.append((progress.seconds, _proof(progress).gap))
        if tell:
            tell(asked.name if rules == FULL else f"{asked.name} {rules.name}", progress)

    laid_out = lay_out(asked, rules, limits=limits, watch=watch, explain_seconds=0)
    proof = laid_out.plan.proof
    if proof is None:
        raise BrokenPromise("a plan was laid out without its proof")
    limit_s = laid_out.wall_s if limits.seconds is None else limits.seconds
    heard.append((min(limit_s, laid_out.wall_s), proof.gap))
    return Outcome(
        name=asked.name,
        rules=rules.name,
        seed=limits.seed,
        notes=len(tuple(asked.open_notes())),
        proof=proof,
        faults=laid_out.faults,
        rounds=laid_out.rounds,
        stopped=laid_out.stopped,
        first_plan_s=laid_out.first_plan_s,
        wall_s=laid_out.wall_s,
        gaps=gaps_at(heard, limit_s),
    )


def _proof(progress: Progress) -> Proof:
    return Proof(
        worth_g=Grams(progress.worth_g),
        bound_g=Grams(progress.bound_g),
        whiteboard_g=Grams(progress.whiteboard_g),
    )


def gaps_at(heard: Sequence[tuple[float, float]], limit_s: float) -> dict[int, float]:
    """The gap last heard of at each checkpoint up to the limit; heard: seconds, gap; in order."""
    gaps: dict[int, float] = {}
    for at in CHECKPOINTS_S:
        so_far = [gap for seconds, gap in heard if seconds <= at]
        if at <= limit_s and so_far:
            gaps[at] = so_far[-1]
    return gaps


def outcome_json(outcome: Outcome) -> dict[str, Any]:
    """JSON values: prepared kg, shares of one. Only what is under "timed" depends on the machine,
    where the limit is work and not seconds."""
    return {
        "case": outcome.name,
        "rules": outcome.rules,
        "seed": outcome.seed,
        "notes": outcome.notes,
        "worth_kg": kg(outcome.proof.worth_g),
        "bound_kg": kg(outcome.proof.bound_g),
        "gap": outcome.proof.gap,
        "whiteboard_kg": kg(outcome.proof.whiteboard_g),
        "over_whiteboard": outcome.over_whiteboard,
        "faults": [f"rule {fault.rule}: {fault.message}" for fault in outcome.faults],
        "rounds": outcome.rounds,
        "stopped": outcome.stopped,
        "timed": {
            "first_plan_s": outcome.first_plan_s,
            "wall_s": outcome.wall_s,
            "gaps": {str(at): gap for at, gap in outcome.gaps.items()},
        },
    }


def costs_json(costs: Sequence[RuleCost]) -> list[dict[str, Any]]:
    """The lay-out under all rules as in outcome_json, then those without a rule and, in prepared
    kg, what that rule costs."""
    full = [outcome_json(cost.full) for cost in costs[:1]]
    return full + [
        outcome_json(cost.without)
        | {
            "gained_kg": kg(cost.gained_g),
            "costs_at_least_kg": kg(cost.least_g),
            "costs_at_most_kg": kg(cost.most_g),
        }
        for cost in costs
    ]
