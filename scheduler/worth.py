"""What a draft is worth, and what drafts are compared by."""

from __future__ import annotations

from scheduler.home import DAY, Begins
from scheduler.problem import Draft, Problem


def worth(problem: Problem, draft: Draft) -> int:
    """Goal A: prepared grams that a draft places."""
    if problem.rules.easier:
        placed = {charge.lot for run in draft.runs for charge in run.charges}
        return sum(problem.lots[lot].prepared_g for lot in placed)
    racks = draft.racks_of(len(problem.lots))
    return sum(lot.worth(racks[lot.index]) for lot in problem.lots)


def value(problem: Problem, draft: Draft) -> int:
    """What drafts are compared by: what of the pinned lots has a place, and then the worth, less
    what the moves of turns count where the problem is a mend."""
    gained, home = worth(problem, draft), problem.home
    moves = home.moved_g(begins(problem, draft)) + home.short_g(gained) if home else 0
    return gained + pull(problem) * _pinned_g(problem, draft) - moves


def begins(problem: Problem, draft: Draft) -> Begins:
    """When turns begin."""
    found = Begins({}, {}, {})
    for run in sorted(draft.runs, key=lambda each: (each.start, each.dryer)):
        for charge in run.charges:
            at = run.start if problem.rules.easier else charge.wash
            found.bringing.setdefault(charge.lot, []).append(at)
            if charge.cut // DAY > charge.wash // DAY:
                found.returning.setdefault(charge.lot, []).append(charge.cut)
            found.packing.setdefault(charge.lot, []).append(charge.pack)
    return found


def pull(problem: Problem) -> int:
    """How many grams of other lots a pinned gram outweighs: all of them."""
    return 1 + sum(lot.prepared_g for lot in problem.lots)


def most_pull(problem: Problem) -> int:
    """How much of a value there can be for what is pinned, beside its worth."""
    return pull(problem) * sum(lot.prepared_g for lot in problem.lots if lot.pinned)


def _pinned_g(problem: Problem, draft: Draft) -> int:
    pinned = [lot for lot in problem.lots if lot.pinned]
    racks = draft.racks_of(len(problem.lots)) if pinned else []
    return sum(lot.worth(min(lot.racks, racks[lot.index])) for lot in pinned)
