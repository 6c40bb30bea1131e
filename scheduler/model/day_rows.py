"""Rows of the relaxed week for the work before the dryers: what can be done between an arrival
and a start.

All work on a charge but its washing is done on the day of its run's start (the waits are shorter
than a
night). So whatever starts by a tick t on a day, of lots that came at a or later (or of all lots,
with
a the opening), is worked on between a and t:

- wash line: washing of lots that came that day, one at a time;
- tables: cutting, in pair-ticks of a plain table;
- steamers and tub: steam ticks, and grams that each stay in the tub for the chilling;
- a grower's pair: washing, cutting and steaming of her lots. Kitchen hands may take work from it:
each
  hand-tick takes one pair-tick of attending, and two hands at a further table, who work as fast as
  the
  pair at most two thirds ... so that pair-ticks + hand-ticks >= washing + cutting + steaming, and
  pair-ticks + hand-ticks * relief >= washing + cutting at the best single table;
- hands: those hand-ticks, the side of growers who come alone, and unloading of runs that rested
over night.

No work is done up to t itself: after the last cut a steamed charge is steamed, chilled and racked,
any other racked (the lot's tail, of which the shortest in a row counts).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.model.early_rows import add_early_rows
from scheduler.model.programme import Columns, Share
from scheduler.problem import Lot, Recipe, TableKind
from scheduler.units import GRID
from scheduler.whiteboard.masks import block


def soonest_ready(recipes: Iterable[Recipe], came_today: bool) -> int:
    """Ticks from the first work on a charge to its run, at the least."""
    return min(
        (recipe.wash if came_today else 0)
        + (recipe.steam_from if recipe.steamers else 0)
        + recipe.ready_from
        for recipe in recipes
    )


@dataclass(frozen=True, slots=True)
class _Effort:
    """What one rack of a lot takes at the least, in ticks (tub: grams)."""

    wash: float
    cut: float  # by the pair alone at the best table
    plain: float  # table time, in ticks of a plain table
    steam: float
    tub_g: float
    first_load: (
        float  # ticks from the first work to the end of the first load, for the whole charge
    )
    tail: dict[str, int]  # ticks from the end of that work to the run, at the least


def _effort(lot: Lot, rates: list[float]) -> _Effort:
    """From the lot's recipes: a figure was raised to the grid once, so a tick less is what it
    takes."""
    recipes = [recipe for each in lot.sizes.values() for recipe in each]
    fastest = [
        min(r.cut for r in lot.sizes[size] if len(r.tables) == 1) - 1 for size in _with_single(lot)
    ]
    return _Effort(
        wash=max((r.wash - 1) / r.racks for r in recipes),
        cut=max(cut / size for cut, size in zip(fastest, _with_single(lot), strict=True)),
        plain=min(
            max(0, r.cut - 1) * sum(rates[kind] for kind in r.tables) / r.racks for r in recipes
        ),
        steam=min((r.steam - 1) * max(1, len(r.steamers)) / r.racks for r in recipes),
        tub_g=lot.prepared_g / lot.racks if any(r.steamers for r in recipes) else 0.0,
        first_load=min(
            (max(0, r.cut - 1) / max(1, r.loads) + r.cycle_s / GRID for r in recipes), default=0.0
        ),
        tail=_tails(recipes),
    )


def _tails(recipes: list[Recipe]) -> dict[str, int]:
    from_cut = [(r.steam_from if r.steamers else 0) + r.ready_from for r in recipes]
    cut = min(ready - r.cut for ready, r in zip(from_cut, recipes, strict=True))
    steam = min((r.ready_from - r.steam for r in recipes if r.steamers), default=cut)
    tub = min((r.ready_from - r.tub for r in recipes if r.steamers), default=0)
    return {"wash": min(from_cut), "plain": cut, "steam": steam, "tub": tub}


def _with_single(lot: Lot) -> list[int]:
    return [size for size in lot.sizes if any(len(r.tables) == 1 for r in lot.sizes[size])]


def add_day_rows(columns: Columns) -> None:
    """All rows of all days."""
    shares: dict[int, list[Share]] = defaultdict(list)
    for share in columns.shares:
        shares[share.start.day].append(share)
    for number, own in shares.items():
        _DayRows(columns, number, own).add()
        add_early_rows(columns, number, own)


@dataclass(frozen=True, slots=True)
class _Window:
    """Lots that came at a or later and start by t. started: racks of each, as a column."""

    a: int
    t: int
    lots: list[Lot]
    started: dict[int, int]


class _DayRows:
    def __init__(self, columns: Columns, number: int, shares: list[Share]) -> None:
        self.columns, self.problem = columns, columns.problem
        self.programme = columns.programme
        self.number, self.day = number, columns.days[number]
        self.shares = shares
        self.lots = sorted(
            {share.lot.index: share.lot for share in shares}.values(), key=lambda lot: lot.index
        )
        rates = [kind.slicer_percent / 100 for kind in self.problem.table_kinds]
        self.effort = {lot.index: _effort(lot, rates) for lot in self.lots}
        self.table_rate = sum(len(k.ids) * k.slicer_percent / 100 for k in self.problem.table_kinds)
        self.relief = {lot.index: _relief(lot, self.problem.table_kinds) for lot in self.lots}
        self.unloads = [
            each
            for each in columns.unloads
            if each.begins < self.day.close and each.ends > self.day.open
        ]

    def add(self) -> None:
        arrivals = {
            lot.arrives for lot in self.lots if self.day.open < lot.arrives < self.day.close
        }
        before: dict[int, int] = {}
        previous = self.day.open - 1
        for t in self._grid():
            before = self._started_by(previous, t, before)
            previous = t
            for a in sorted({self.day.open, *arrivals}):
                lots = [
                    lot
                    for lot in self.lots
                    if lot.index in before and (a == self.day.open or lot.arrives >= a)
                ]
                if lots and a < t:
                    self._rows(_Window(a, t, lots, before))

    def _grid(self) -> list[int]:
        """Ticks of a start, close together in the morning when little can be ready."""
        opens, closes = self.day.open, self.day.close
        early = range(opens + 6, min(opens + 48, closes), 2)
        return sorted({*early, *range(opens + 48, closes, 6), closes})

    def _started_by(self, after: int, t: int, before: dict[int, int]) -> dict[int, int]:
        """Columns that count each lot's racks started on this day by t."""
        fresh: dict[int, dict[int, float]] = defaultdict(dict)
        for share in self.shares:
            if after < share.start.tick <= t:
                fresh[share.lot.index][share.column] = -1.0
        started = dict(before)
        for index, row in fresh.items():
            lot = self.problem.lots[index]
            column = self.programme.column(0, lot.racks)
            row[column] = 1.0
            if index in before:
                row[before[index]] = -1.0
            self.programme.equal(0, row)
            started[index] = column
        return started

    def _rows(self, window: _Window) -> None:
        rules = self.problem.rules
        if rules.tables:
            self._station(window, "wash", self.problem.wash_lines)
            self._station(window, "plain", self.table_rate)
        if rules.steamers:
            self._station(window, "steam", self.problem.steamers)
            self._tub(window)
        if rules.hands:
            self._people(window)

    def _figure(self, lot: Lot, figure: str) -> float:
        if figure == "wash" and lot.arrives <= self.day.open:
            return 0.0  # it may have been washed the day before
        return float(getattr(self.effort[lot.index], figure))

    def _demand(self, lots: Iterable[Lot], window: _Window, *figures: str) -> dict[int, float]:
        row = {
            window.started[lot.index]: sum(self._figure(lot, figure) for figure in figures)
            for lot in lots
        }
        return {column: amount for column, amount in row.items() if amount > 0}

    def _may_bind(self, row: dict[int, float], limit: float) -> bool:
        return sum(amount * self.programme.uppers[column] for column, amount in row.items()) > limit

    def _station(self, window: _Window, figure: str, places: float) -> None:
        lots = [lot for lot in window.lots if self._figure(lot, figure) > 0]
        row = self._demand(lots, window, figure)
        limit = places * self._length(window, lots, figure)
        if self._may_bind(row, limit):
            self.programme.at_most(limit, row, seldom=True)

    def _length(self, window: _Window, lots: list[Lot], figure: str) -> int:
        """Ticks from a to the end of that work on the lots."""
        tail = min((self.effort[lot.index].tail[figure] for lot in lots), default=0)
        return max(0, window.t - tail - window.a)

    def _tub(self, window: _Window) -> None:
        """Grams chilled after the first load has been cut and steamed."""
        steamed = [lot for lot in window.lots if self.effort[lot.index].tub_g]
        if steamed:
            first = min(self.effort[lot.index].first_load for lot in steamed)
            length = self._length(window, steamed, "tub")
            limit = self.problem.tub_g * (length - first) / self.problem.chill
            row = self._demand(steamed, window, "tub_g")
            if self._may_bind(row, limit):
                self.programme.at_most(max(0.0, limit), row, seldom=True)

    def _people(self, window: _Window) -> None:
        by_grower: dict[int, list[Lot]] = defaultdict(list)
        for lot in window.lots:
            by_grower[lot.grower].append(lot)
        helped: dict[int, float] = {}
        for grower, lots in by_grower.items():
            helped.update(self._grower(window, grower, lots))
        helped.update(self._unloading(window))
        limit = float(
            sum(
                (block(window.a, window.t - window.a) & mask).bit_count()
                for mask in self.problem.hands[1:]
            )
        )
        if helped:
            self.programme.at_most(limit, helped, seldom=True)

    def _grower(self, window: _Window, grower: int, lots: list[Lot]) -> dict[int, float]:
        """Rows of a grower's pair, and the hand-ticks that it needs in the window."""
        present = self.problem.staffed & ~self.problem.away[grower]
        time, all_time = (
            (block(window.a, self._length(window, lots, last)) & present).bit_count()
            for last in ("plain", "steam")
        )
        work = self._demand(lots, window, "wash", "cut")
        all_work = self._demand(lots, window, "wash", "cut", "steam")
        if lots[0].alone:
            if self._may_bind(work, time):
                self.programme.at_most(time, work, seldom=True)
            return all_work
        if not (self._may_bind(all_work, all_time) or self._may_bind(work, time)):
            return {}
        hand = self.programme.column(0, 10_000)
        relief = max(self.relief[lot.index] for lot in lots)
        self.programme.at_most(all_time, {**all_work, hand: -1.0}, seldom=True)
        self.programme.at_most(time, {**work, hand: -relief}, seldom=True)
        return {hand: 1.0}

    def _unloading(self, window: _Window) -> dict[int, float]:
        """Hand-ticks of unloading inside the window."""
        row: dict[int, float] = {}
        for unload in self.unloads:
            inside = min(unload.ends, window.t) - max(unload.begins, window.a)
            if inside > 0:
                row[unload.column] = float(inside)
        return row


def _relief(lot: Lot, kinds: tuple[TableKind, ...]) -> float:
    """Pair-ticks at the best single table that a hand-tick at a further table saves at the most."""
    rates = sorted(
        (kind.slicer_percent / 100 if lot.slicer else 1.0 for kind in kinds for _ in kind.ids),
        reverse=True,
    )
    return (sum(rates[:2]) / rates[0] - 1) / 2 if rates else 0.0
