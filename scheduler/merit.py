"""How good a draft is by every goal, in the members' order: figures of which more is better.

Drafts are compared goal by goal: a later goal counts only between drafts that are alike in all
before it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from scheduler.problem import Draft, DraftCharge, DraftRun, DryerSpec, Lot, Problem
from scheduler.worth import value

Merit = tuple[int, ...]


def merit(problem: Problem, draft: Draft) -> Merit:
    """All figures of a draft: its value (prepared grams), then those of the later goals."""
    later = (_FIGURES[goal] for goal in problem.goals if goal in _FIGURES)
    return value(problem, draft), *(each for figures in later for each in figures(problem, draft))


def waited(lot: Lot, racks: int) -> int:
    """What a tick between the door and the run costs so many racks of a lot: thousandths of its
    keeping time, times prepared grams."""
    return lot.worth(racks) * 1000 // lot.keeping


def drawn(dryer: DryerSpec, drying: int) -> int:
    """What a run of that length draws, in watt-ticks."""
    full = min(drying, dryer.full_draw)
    return dryer.watts * full + dryer.late_watts * (drying - full)


def _keeping(problem: Problem, draft: Draft) -> Merit:
    """Keeping time that passes before the runs, the most perishable lots' most heavily."""
    lots = problem.lots
    return (
        -sum(
            waited(lots[charge.lot], charge.recipe.racks) * (run.start - lots[charge.lot].at_door)
            for run, charge in _charges(draft)
        ),
    )


def _spend(problem: Problem, draft: Draft) -> Merit:
    """What the dryers draw, then wash-downs, then hands at further tables, then nights."""
    runs = draft.runs
    return (
        -sum(drawn(problem.dryers[run.dryer], run.drying) for run in runs),
        -sum(run.wash_down is not None for run in runs),
        -sum((len(c.recipe.tables) - 1) * c.recipe.cut for _, c in _charges(draft)),
        -sum(problem.day_of(run.start + run.drying) is None for run in runs),
    )


def _calm(_: Problem, draft: Draft) -> Merit:
    """How many charges there are to come for, then how late they are packed."""
    packed = [charge.pack for _, charge in _charges(draft)]
    return (-len(packed), -sum(packed))


def _charges(draft: Draft) -> Iterator[tuple[DraftRun, DraftCharge]]:
    for run in draft.runs:
        for charge in run.charges:
            yield run, charge


_FIGURES: dict[str, Callable[[Problem, Draft], Merit]] = {
    "keeping": _keeping,
    "spend": _spend,
    "calm": _calm,
}
