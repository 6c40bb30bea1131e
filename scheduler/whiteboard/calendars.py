"""When runs may start and must be out, as far as hours and rules say it, whatever else is on the
board."""

from __future__ import annotations

from scheduler.problem import DryerSpec, Problem
from scheduler.whiteboard.masks import block, lasting, span, ticks


class Calendars:
    """Masks that depend on the problem alone, made once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.everywhere = (1 << problem.horizon) - 1
        self.starts = self.staffed = 0
        for day in problem.days:
            self.staffed |= block(day.open, day.close - day.open)
            if day.plans:
                self.starts |= span(day.open, day.close)
        self.starts &= ~block(0, problem.now)
        self._legal: dict[tuple[int, int], int] = {}
        self._latest: dict[tuple[int, int, int], int] = {}

    def legal_starts(self, dryer: DryerSpec, drying: int) -> int:
        """Starts of a run of that length which keep rules 1 to 3 on a dryer that is otherwise
        free."""
        key = (dryer.index, drying)
        if key not in self._legal:
            self._legal[key] = self._find(dryer, drying)
        return self._legal[key]

    def latest_start(self, dryer: DryerSpec, drying: int, closes: int) -> int:
        """The latest start from which a run is out, and its dryer turned round, at a staffed
        time."""
        key = (dryer.index, drying, closes)
        if key not in self._latest:
            self._latest[key] = self._search_latest(dryer, drying, closes)
        return self._latest[key]

    def _search_latest(self, dryer: DryerSpec, drying: int, closes: int) -> int:
        problem = self.problem
        low, high = -1, problem.horizon - drying - 1
        while low < high:
            middle = (low + high + 1) // 2
            day = problem.next_open(middle + drying)
            at = problem.horizon if day is None else max(middle + drying, day.open)
            if problem.staffed_time(at) + dryer.turn_round <= closes:
                low = middle
            else:
                high = middle - 1
        return low

    def _find(self, dryer: DryerSpec, drying: int) -> int:
        problem = self.problem
        free_from = problem.at_staffed_time(dryer.free_from)
        if free_from >= problem.horizon:
            return 0
        mask = self.starts & ~block(0, free_from) & (self._legal_ends(dryer.unload) >> drying)
        if not dryer.unattended:
            mask &= lasting(self.staffed, drying)
        if dryer.down:
            mask = sum(1 << at for at in ticks(mask) if self._is_up(dryer, at, at + drying))
        return mask

    def _legal_ends(self, unload: int) -> int:
        """Rule 3: ends of a run that is released in time and unloaded while somebody is there."""
        problem, mask, closed = self.problem, 0, 0
        opens_next = [day.open for day in problem.days[1:]] + [problem.horizon]
        for day, opens in zip(problem.days, opens_next, strict=True):
            if day.plans and day.open + unload <= day.close:
                held = max(closed, day.open - problem.cool_hold)  # from here on to the opening
                latest = min(day.close - max(unload, not problem.rules.easier), opens - 1)
                mask |= block(held, latest + 1 - held)
            closed = day.close
        return mask

    def _is_up(self, dryer: DryerSpec, start: int, end: int) -> bool:
        busy_to = (self.problem.release(end) or end) + dryer.unload
        return all(busy_to <= first or back <= start for first, back in dryer.down)
