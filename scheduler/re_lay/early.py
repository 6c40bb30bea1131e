"""Turns of short notice stay before later ones: where later ones make room, those are moved."""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import product
from random import Random

from scheduler.expand import can_be_placed
from scheduler.model.neighbourhood import Neighbourhoods
from scheduler.model.solve import Effort
from scheduler.problem import Draft, Problem, begins, value, worth
from scheduler.re_lay.small import Small
from scheduler.re_lay.week import Week
from scheduler.whiteboard.ruin import Ruin

A_TRY_S, PATIENCE_S = 2.0, 300.0  # the latter where work is counted, not time
A_TRY = Effort(seconds=A_TRY_S, work=1.0)  # from trials
NEAR = (100, 250, 500)  # ticks from such a turn within which runs make room: about 8, 20, 40 hours


def early_first(week: Week, small: Small, *, seconds: float | None, seed: int) -> Small:
    """The small change with as many turns of short notice at their old times as the solver finds
    when runs near them are free, by whatever moves of later turns. seconds: most for all of it."""
    problem, draft = week.held(week.going, worth(week.problem, week.whole.firm.draft)), small.draft
    end = None if seconds is None else time.monotonic() + seconds
    room = Neighbourhoods(problem, Ruin(problem, Random(seed)), Random(seed))
    for near, lot in product(NEAR, moved_short(problem, draft)):
        left = PATIENCE_S if end is None else end - time.monotonic()
        if left > 0 and lot in moved_short(problem, draft):
            effort = replace(A_TRY, seconds=left if end is None else min(A_TRY_S, left))
            free = _freed(problem, draft, lot, near)
            found = room.solved(draft, free, effort, any_size={lot})
            if found is not None and _is_calmer(problem, found, draft):
                draft = found
    return small if draft == small.draft else Small(problem, draft)


def _is_calmer(problem: Problem, found: Draft, draft: Draft) -> bool:
    """Whether fewer turns of short notice are moved in it than in the draft."""
    fewer = len(moved_short(problem, found)) < len(moved_short(problem, draft))
    return fewer and value(problem, found) > value(problem, draft) and can_be_placed(problem, found)


def moved_short(problem: Problem, draft: Draft) -> list[int]:
    """Lots of which a turn of short notice is at another time, or nowhere, least notice first."""
    home, (now, _) = problem.home, begins(problem, draft)
    if home is None:
        return []
    moved = (lot for lot in home.bringing if home.flat_g(lot, now.get(lot, ())))
    return sorted(moved, key=lambda lot: home.bringing[lot][0].at)


def _freed(problem: Problem, draft: Draft, lot: int, near: int) -> set[int]:
    """That lot with those of runs so near to its turns; other turns of short notice that stay are
    not touched."""
    home, moved = problem.home, set(moved_short(problem, draft))
    assert home
    short = {each for each, turns in home.bringing.items() if any(turn.flat for turn in turns)}
    at = [turn.at for turn in home.bringing[lot] if turn.flat]
    runs = (r for r in draft.runs if any(abs(r.start - each) <= near for each in at))
    return {c.lot for run in runs for c in run.charges} - (short - moved) | {lot}
