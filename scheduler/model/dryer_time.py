"""Rows of the relaxed week for the dryers' time: each kind of dryer as a stock that runs draw on.

A dryer is ready for any group, or as a group left it that asks for a wash-down before some others
(rule 8). A start takes one that is ready for its group; unloading gives it back, washed or not.
"""

from __future__ import annotations

from collections import defaultdict

from scheduler.model.programme import Columns, Start

Condition = int | None  # the group that left a dryer so; None where it is ready for all


def add_dryer_time(columns: Columns) -> None:
    """All rows of all kinds."""
    for kind in range(len(columns.kinds)):
        _Stock(columns, kind).add()


class _Stock:
    """Dryers of one kind, by condition: how many are free at each tick, as a column between two
    events."""

    def __init__(self, columns: Columns, kind: int) -> None:
        self.problem, self.programme = columns.problem, columns.programme
        self.dryers = columns.kinds[kind]
        self.dirty = {before for before, _ in self.problem.washes}
        self.events: dict[Condition, dict[int, dict[int, float]]] = defaultdict(
            lambda: defaultdict(dict)
        )
        last = self.dryers[0].last_group
        self.at_first = last if last in self.dirty else None
        self.events[self.at_first][self._first_free()] = {}
        for unload in columns.unloads:
            if unload.kind == kind:
                self.events[unload.dirty][unload.free][unload.column] = 1.0
        for start in columns.starts:
            if start.kind == kind:
                self._draws(start)

    def add(self) -> None:
        for condition, by_tick in self.events.items():
            before: int | None = None
            for tick in sorted(by_tick):
                row = dict(by_tick[tick])
                if before is not None:
                    row[before] = 1.0
                before = self.programme.column(0, len(self.dryers))
                row[before] = -1.0
                first = condition == self.at_first and tick == self._first_free()
                self.programme.equal(-len(self.dryers) if first else 0, row)

    def _first_free(self) -> int:
        return self.problem.at_staffed_time(self.dryers[0].free_from)

    def _draws(self, start: Start) -> None:
        """A start takes a dryer in one of the conditions that need no wash-down before it."""
        fitting = [
            condition
            for condition in (None, *sorted(self.dirty))
            if condition is None or (condition, start.group) not in self.problem.washes
        ]
        if len(fitting) == 1:
            self.events[None][start.tick][start.column] = -1.0
            return
        row = {start.column: -1.0}
        for condition in fitting:
            column = self.programme.column(0, len(self.dryers))
            row[column] = 1.0
            self.events[condition][start.tick][column] = -1.0
        self.programme.equal(0, row)
