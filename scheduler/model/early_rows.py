"""Rows of the relaxed week for the first minutes of a day, when a start in its first hours wants
everything at once.

Only some recipes can have so many racks of a lot ready by an early start, and even where they are
worked on as late as may be, part of what they take of hands and of a kind of table lies before a
still earlier tick e. The least of it, by racks, has a line below it: nothing up to some racks, then
so much a rack. Before every e the lines of all charges, and the unloading there (rule 12), take no
more than there is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property

from scheduler.model.programme import Columns, Share
from scheduler.problem import PAIR, Lot, Recipe
from scheduler.whiteboard.masks import block

BEFORE = (2, 4, 8, 12)  # ticks after opening: the first ten minutes to the first hour
EARLY = 30  # ticks after opening: later starts leave room for other recipes


@dataclass(frozen=True)
class Latest:
    """A recipe as late as its run's start allows: ticks after opening. soonest: of the cut;
    wash: how long, if on that day."""

    lot: Lot
    recipe: Recipe
    soonest: int
    wash: int
    start: int

    @cached_property
    def steam(self) -> int:
        return self.start - self.recipe.ready_from

    @cached_property
    def cut(self) -> int:
        return self.steam - (self.recipe.steam_from if self.recipe.steamers else 0)

    @property
    def possible(self) -> bool:
        return self.soonest <= self.cut

    def hands(self, e: int) -> int:
        """Hand-ticks before e: further tables, help for one who comes alone, steamers while the
        pair cuts."""
        recipe = self.recipe
        wanted = PAIR * (len(recipe.tables) - 1) + self.lot.alone
        taken = wanted * _before(e, self.cut, recipe.cut)
        if self.lot.alone:
            taken += _before(e, self.cut - self.wash, self.wash)
        if len(recipe.steamers) > 1 or (recipe.steamers and self.lot.alone):
            return taken + len(recipe.steamers) * _before(e, self.steam, recipe.steam)
        if recipe.steamers and len(recipe.tables) == 1:
            beside = min(recipe.steam, self.soonest + recipe.cut - self.steam)
            taken += _before(e, self.steam, max(0, beside))
        return taken

    def table(self, e: int, kind: int) -> int:
        """Ticks before e at tables of a kind."""
        return self.recipe.tables.count(kind) * _before(e, self.cut, self.recipe.cut)


def _before(e: int, begins: int, lasts: int) -> int:
    return max(0, min(e - begins, lasts))


Use = Callable[[Latest, int], int]
Line = tuple[int, float]  # racks that need nothing, and how much each further rack needs


def add_early_rows(columns: Columns, number: int, shares: list[Share]) -> None:
    """All rows of one day."""
    problem, day = columns.problem, columns.days[number]
    early = _Early(columns, day.open, [s for s in shares if s.start.tick <= day.open + EARLY])
    if problem.rules.hands:
        rows = _EarlyRows(early, Latest.hands)
        for e in BEFORE:
            present = block(day.open, e)
            hands = sum((present & mask).bit_count() for mask in problem.hands[1:])
            rows.add(e, hands, _unloading(columns, day.open, day.open + e))
    if problem.rules.tables:
        for which, kind in enumerate(problem.table_kinds):
            rows = _EarlyRows(early, _at_table(which))
            for e in BEFORE:
                rows.add(e, e * len(kind.ids), {})


def _at_table(kind: int) -> Use:
    return lambda latest, e: latest.table(e, kind)


def _unloading(columns: Columns, opens: int, until: int) -> dict[int, float]:
    inside = {
        each.column: float(min(each.ends, until) - max(each.begins, opens))
        for each in columns.unloads
    }
    return {column: ticks for column, ticks in inside.items() if ticks > 0}


@dataclass(frozen=True, slots=True)
class _Early:
    """The racks of a day's early starts, and the ways to have them ready, found once for all rows.

    by_lot: by lot and start, the possible ways of each size.
    """

    columns: Columns
    opens: int
    shares: list[Share]
    by_lot: dict[tuple[int, int], dict[int, list[Latest]]] = field(default_factory=dict)

    def ways(self, lot: Lot, start: int) -> dict[int, list[Latest]]:
        """The possible ways of each size for a start so many ticks after opening."""
        key = (lot.index, start)
        if key not in self.by_lot:
            self.by_lot[key] = {size: self._ways(lot, size, start) for size in lot.sizes}
        return self.by_lot[key]

    def _ways(self, lot: Lot, size: int, start: int) -> list[Latest]:
        arrives = max(0, lot.arrives - self.opens)
        every = []
        for recipe in _unlike(lot.sizes[size]):
            wash = recipe.wash if lot.arrives > self.opens else 0
            every.append(Latest(lot, recipe, arrives + wash, wash, start))
        return [way for way in every if way.possible]


def _unlike(recipes: Iterable[Recipe]) -> Iterable[Recipe]:
    """One of those of a size that take the same, on whichever steamers."""
    return {
        (r.tables, len(r.steamers), r.wash, r.cut, r.steam, r.steam_from, r.ready_from): r
        for r in recipes
    }.values()


class _EarlyRows:
    """The rows for one kind of use on one day."""

    def __init__(self, early: _Early, use: Use) -> None:
        self.early, self.use = early, use
        self.columns, self.programme = early.columns, early.columns.programme
        self._lines: dict[tuple[int, int, int, int], Line | None] = {}

    def add(self, e: int, most: float, others: dict[int, float]) -> None:
        """What shares and others take before e is at most so much."""
        row = dict(others)
        for share in self.early.shares:
            line = self._line(share, e)
            if line is None:
                continue
            spare, slope = line
            column = share.column
            if spare:
                column = self.programme.column(0, len(self.columns.kinds[share.start.kind]) * most)
                self.programme.at_most(
                    0, {share.column: slope, share.start.column: -slope * spare, column: -1.0}
                )
                slope = 1.0
            row[column] = slope
        if len(row) > len(others):
            self.programme.at_most(most, row)

    def _line(self, share: Share, e: int) -> Line | None:
        start = share.start.tick - self.early.opens
        room = self.columns.kinds[share.start.kind][0].racks
        key = (share.lot.index, start, e, room)
        if key not in self._lines:
            self._lines[key] = self._line_below(share.lot, start, e, room)
        return self._lines[key]

    def _line_below(self, lot: Lot, start: int, e: int, room: int) -> Line | None:
        least = {
            size: min(self.use(way, e) for way in ways)
            for size, ways in self.early.ways(lot, start).items()
            if ways and size <= room
        }
        spare = max((size for size, taken in least.items() if not taken), default=0)
        slopes = [taken / (size - spare) for size, taken in least.items() if size > spare]
        return (spare, min(slopes)) if slopes else None
