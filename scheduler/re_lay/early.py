"""Turns of short notice stay before later ones: where later ones make room, those are moved.

The solver first says which of them can stay at all, with everything later off the board; what is
found then has no more of them moved, if the rest can be put back with the worth that still stood.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from random import Random

from scheduler.expand import can_be_placed
from scheduler.model.climb import Budget
from scheduler.model.neighbourhood import Neighbourhoods
from scheduler.model.solve import Effort
from scheduler.model.stay import most_stay
from scheduler.problem import FOREVER, Draft, Problem
from scheduler.re_lay.small import Small, filled, improved
from scheduler.re_lay.week import Week
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import begins, value, worth

PATIENCE_S = 300.0  # where work is counted, not time
MOST = Effort(seconds=3.0, work=2.0)  # to learn which can stay (from trials: a second)
A_TRY = Effort(seconds=2.0, work=1.0)  # from trials
NEAR = (100, 250, 500)  # ticks from such a turn within which runs make room: about 8, 20, 40 hours
STEPS = 150  # of climbing from what was put back by hand, where work is counted


def early_first(week: Week, small: Small, *, seconds: float | None, seed: int) -> Small:
    """The small change with as many turns of short notice at their old times as can stay, by
    whatever moves of later turns. seconds: most for all of it."""
    problem = week.held(week.going, worth(week.problem, week.whole.firm.draft))
    if not moved_short(problem, small.draft):
        return small
    end = None if seconds is None else time.monotonic() + seconds
    draft = _Early(problem, seed, end).kept(small.draft)
    return small if draft == small.draft else Small(problem, draft)


@dataclass(frozen=True)
class _Early:
    """end: when to stop, of the clock; None where work is counted."""

    problem: Problem
    seed: int
    end: float | None

    def kept(self, draft: Draft) -> Draft:
        """Runs near those that are moved make room; where that is not enough, all that is later is
        put back beside those that can stay."""
        draft = self._nearer(draft, NEAR[:1], 0)
        if not moved_short(self.problem, draft):
            return draft
        most = self._most()
        must = moved_short(self.problem, most) if most else []
        draft = self._nearer(draft, NEAR[1:], len(must))
        if most and len(moved_short(self.problem, draft)) > len(must):
            found = self._beside(most, draft)
            return found if _is_calmer(self.problem, found, draft) else draft
        return draft

    def _left(self, share: float = 1.0) -> float:
        return PATIENCE_S if self.end is None else share * (self.end - time.monotonic())

    def _effort(self, effort: Effort, left: float) -> Effort:
        """No longer than that is left; where work is counted, no shorter either."""
        return replace(effort, seconds=left if self.end is None else min(effort.seconds, left))

    @cached_property
    def _ruin(self) -> Ruin:
        return Ruin(self.problem, Random(self.seed))

    def _most(self) -> Draft | None:
        """Only they beside what has begun."""
        short = set(_short(self.problem))
        lots = [lot for lot in self._ruin.lots if lot.index in short]
        board = Board.begun(self.problem, Calendars(self.problem))
        left = self._left()
        if left <= 0:
            return None
        return most_stay(self.problem, board, lots, self._effort(MOST, left))

    def _nearer(self, draft: Draft, nears: Sequence[int], must: int) -> Draft:
        """Until no more are moved than must be, or half of the time left is over."""
        problem, until = self.problem, self._left(0.5)
        room = Neighbourhoods(problem, self._ruin, Random(self.seed))
        for near, lot in product(nears, moved_short(problem, draft)):
            moved, left = moved_short(problem, draft), self._left() - until
            if left <= 0 or len(moved) <= must:
                break
            if lot in moved:
                free = _freed(problem, draft, lot, near)
                found = room.solved(draft, free, self._effort(A_TRY, left), any_size={lot})
                if found is not None and _is_calmer(problem, found, draft):
                    draft = found
        return draft

    def _beside(self, most: Draft, draft: Draft) -> Draft:
        """What the draft places, least notice first, then what waits; then climbed from there."""
        problem, ruin = self.problem, self._ruin
        board = ruin.rebuilt(most, set())
        placed = board.draft().racks_of(len(problem.lots))
        now = begins(problem, draft).bringing
        left = [lot for lot in ruin.lots if not placed[lot.index]]
        order = sorted(left, key=lambda lot: min(now.get(lot.index, [FOREVER])))
        begun = Small(problem, filled(problem, board, order))
        seconds, steps = (None, STEPS) if self.end is None else (self._left(), None)
        return improved(begun, Budget(seconds, steps, 0.0), self.seed).draft


def _is_calmer(problem: Problem, found: Draft, draft: Draft) -> bool:
    """Whether fewer turns of short notice are moved in it than in the draft."""
    fewer = len(moved_short(problem, found)) < len(moved_short(problem, draft))
    return fewer and value(problem, found) > value(problem, draft) and can_be_placed(problem, found)


def _short(problem: Problem) -> list[int]:
    """Lots with bringing turns of short notice."""
    home = problem.home
    turns = home.bringing.items() if home else ()
    return [lot for lot, own in turns if any(turn.flat for turn in own)]


def moved_short(problem: Problem, draft: Draft) -> list[int]:
    """Lots of which a turn of short notice is at another time, or nowhere, least notice first."""
    home, now = problem.home, begins(problem, draft).bringing
    if home is None:
        return []
    moved = (lot for lot in home.bringing if home.flat_g(lot, now.get(lot, ())))
    return sorted(moved, key=lambda lot: home.bringing[lot][0].at)


def _freed(problem: Problem, draft: Draft, lot: int, near: int) -> set[int]:
    """That lot with those of runs so near to its turns; other turns of short notice that stay are
    not touched."""
    moved = set(moved_short(problem, draft))
    assert problem.home
    at = [turn.at for turn in problem.home.bringing[lot] if turn.flat]
    runs = (r for r in draft.runs if any(abs(r.start - each) <= near for each in at))
    return {c.lot for run in runs for c in run.charges} - (set(_short(problem)) - moved) | {lot}
