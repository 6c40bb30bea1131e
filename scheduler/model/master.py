"""What no plan can beat: the week relaxed to a linear programme, solved to its proven optimum.

Columns: a run of a class (group, hours) that starts at a tick on one of several like dryers, and the
racks of a lot in it. Every plan is a point of this programme with the same worth, so its optimum is a
bound. Rows, and why each holds for every plan:

- room: the racks in a run are no more than the dryer has; a lot's racks are no more than can be made
  ready by that start on that day with every station to itself (waits keep cutting on the day of the start).
- time: a dryer's runs do not overlap, each taking it until it is unloaded and turned round.
- lot: a lot has no more racks than it is large.
- before t: charges in runs that start by t on a day are washed (if the lot came that day), cut, steamed
  and minded by people between opening and t; each station and each grower's pair can do only so much.

Starts are thinned where that loses nothing: of starts that free the dryer at the same time (runs that
end in the night) only the latest counts, and the latest that each lot bears, because every row
above allows a later start whatever it allows an earlier one.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import highspy

from scheduler.problem import Day, DryerSpec, Lot, Problem, Recipe
from scheduler.whiteboard.board import Calendars
from scheduler.whiteboard.masks import block, ticks

INFINITE = highspy.kHighsInf
GRAM = 1e-6  # of the objective: what rounding of the answer may hide


@dataclass(slots=True)
class _Programme:
    """A linear programme under construction, row by row."""

    costs: list[float] = field(default_factory=list)
    uppers: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    row_uppers: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    index: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)

    def column(self, cost: float, upper: float, *, whole: bool = False) -> int:
        self.costs.append(cost)
        self.uppers.append(upper)
        self.whole.append(whole)
        return len(self.costs) - 1

    def at_most(self, upper: float, row: dict[int, float]) -> None:
        self.row_uppers.append(upper)
        self.index.extend(row)
        self.value.extend(row.values())
        self.starts.append(len(self.index))

    def lp(self) -> highspy.HighsLp:
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.row_uppers)
        lp.sense_ = highspy.ObjSense.kMaximize
        lp.col_cost_, lp.col_upper_ = self.costs, self.uppers
        lp.col_lower_ = [0.0] * len(self.costs)
        lp.row_lower_, lp.row_upper_ = [-INFINITE] * len(self.row_uppers), self.row_uppers
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_, lp.a_matrix_.index_ = self.starts, self.index
        lp.a_matrix_.value_ = self.value
        return lp


@dataclass(frozen=True, slots=True)
class _Start:
    """A run column: when it starts, when its dryer is free again, whether it rests over night."""

    kind: int
    day: int
    tick: int
    free: int
    held: bool
    column: int


@dataclass(frozen=True, slots=True)
class _Share:
    """A rack column: racks of a lot in the runs of one start."""

    lot: Lot
    start: _Start
    column: int


class Master:
    """The relaxed week. bound() solves it."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.calendars = problem, Calendars(problem)
        self.programme = _Programme()
        self.lots = [lot for lot in problem.lots if lot.sizes and lot.dryers]
        self.days = [day for day in problem.days if day.plans]
        self.kinds = _alike(problem.dryers)
        self.starts: list[_Start] = []
        self.shares: list[_Share] = []
        self._ready: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for kind in range(len(self.kinds)):
            self._add_kind(kind)
        self._add_dryer_time()
        self._add_lots()
        if not problem.rules.easier:
            _BeforeRows(self).add()

    def bound(self, seconds: float) -> int | None:
        """Prepared grams that no plan exceeds; None if the programme was not solved in time."""
        highs = highspy.Highs()
        highs.setOptionValue("output_flag", False)
        highs.setOptionValue("threads", 1)
        highs.setOptionValue("time_limit", seconds)
        highs.passModel(self.programme.lp())
        highs.run()
        if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        best = highs.getInfo().objective_function_value
        everything = sum(lot.prepared_g for lot in self.problem.lots)
        return min(everything, math.floor(best * (1 + GRAM)) + len(self.lots))

    def _add_kind(self, kind: int) -> None:
        dryer = self.kinds[kind][0]
        own = [lot for lot in self.lots if dryer.index in lot.dryers]
        for number, day in enumerate(self.days):
            here = [lot for lot in own if lot.arrives <= day.close and lot.latest >= day.open]
            for group, drying in sorted({(lot.group, lot.drying) for lot in here}):
                members = [lot for lot in here if lot.group == group and lot.drying <= drying]
                for tick in self._thinned(dryer, drying, day, members):
                    self._add_start((kind, number, tick, drying), members)

    def _thinned(self, dryer: DryerSpec, drying: int, day: Day, lots: list[Lot]) -> list[int]:
        window = block(day.open, day.close - day.open + 1)
        legal = list(ticks(self.calendars.legal_starts(dryer, drying) & window))
        by_free: dict[int, list[int]] = defaultdict(list)
        for tick in legal:
            by_free[self._free(dryer, tick + drying)].append(tick)
        kept: set[int] = set()
        for same in by_free.values():
            kept.add(same[-1])
            for lot in lots:
                borne = [tick for tick in same if tick <= lot.latest]
                if borne:
                    kept.add(borne[-1])
        return sorted(kept)

    def _free(self, dryer: DryerSpec, end: int) -> int:
        problem = self.problem
        release = problem.release(end)
        assert release is not None
        return problem.at_staffed_time(problem.staffed_time(release) + dryer.turn_round)

    def _add_start(self, which: tuple[int, int, int, int], members: list[Lot]) -> None:
        kind, day, tick, drying = which
        dryers = self.kinds[kind]
        room = {lot.index: min(dryers[0].racks, self._most_ready(lot, day, tick)) for lot in members}
        inside = [lot for lot in members if room[lot.index] > 0]
        if not any(lot.drying == drying for lot in inside):
            return
        programme = self.programme
        column = programme.column(0, len(dryers), whole=True)
        end = tick + drying
        held = self.problem.day_of(end) is None or self.problem.release(end) != end
        start = _Start(kind, day, tick, self._free(dryers[0], end), held, column)
        self.starts.append(start)
        total: dict[int, float] = {column: -dryers[0].racks}
        longest: dict[int, float] = {column: 1.0}
        for lot in inside:
            share = programme.column(lot.prepared_g / lot.racks, lot.racks)
            self.shares.append(_Share(lot, start, share))
            programme.at_most(0, {share: 1, column: -room[lot.index]})
            total[share] = 1
            if lot.drying == drying:
                longest[share] = -1.0 / min(lot.sizes)
        programme.at_most(0, total)
        programme.at_most(0, longest)

    def _most_ready(self, lot: Lot, day: int, tick: int) -> int:
        """Racks of a lot that can be ready by a tick of a day, with every station to themselves."""
        if tick > lot.latest or tick < lot.arrives:
            return 0
        if self.problem.rules.easier:
            return lot.racks
        key = (lot.index, day)
        if key not in self._ready:
            opens = max(self.days[day].open, lot.arrives)
            came_today = lot.arrives > self.days[day].open
            soonest = ((opens + soonest_ready(lot.sizes[size], came_today), size) for size in lot.sizes)
            self._ready[key] = sorted(soonest)
        return max((size for ready, size in self._ready[key] if ready <= tick), default=0)

    def _add_dryer_time(self) -> None:
        """At every start, the runs that hold a dryer of that kind are no more than there are."""
        for kind, dryers in enumerate(self.kinds):
            own = [start for start in self.starts if start.kind == kind]
            for tick in sorted({start.tick for start in own}):
                row = {each.column: 1.0 for each in own if each.tick <= tick < each.free}
                if len(row) > 1:
                    self.programme.at_most(len(dryers), row)

    def _add_lots(self) -> None:
        shares: dict[int, dict[int, float]] = defaultdict(dict)
        for share in self.shares:
            shares[share.lot.index][share.column] = 1.0
        for index, row in shares.items():
            self.programme.at_most(self.problem.lots[index].racks, row)


def soonest_ready(recipes: Iterable[Recipe], came_today: bool) -> int:
    """Ticks from the first work on a charge to its run, at the least."""
    return min(
        (recipe.wash if came_today else 0)
        + (recipe.steam_from if recipe.steamers else 0)
        + recipe.ready_from
        for recipe in recipes
    )


def _alike(dryers: tuple[DryerSpec, ...]) -> list[list[DryerSpec]]:
    """Dryers that differ in name only, together."""
    alike: dict[object, list[DryerSpec]] = defaultdict(list)
    for each in dryers:
        figures = (each.racks, each.coolest, each.hottest, each.groups, each.turn_round, each.unload)
        alike[figures, each.free_from, each.last_group, each.down, each.unattended].append(each)
    return list(alike.values())


class _BeforeRows:
    """What can be washed, cut, steamed and done by a pair between opening and a start."""

    def __init__(self, master: Master) -> None:
        self.master, self.problem = master, master.problem
        lots = master.lots
        self.cut = {lot.index: _least(lot, "cut") for lot in lots}
        self.wash = {lot.index: _least(lot, "wash") for lot in lots}
        self.steam = {lot.index: _least(lot, "steam") for lot in lots}
        self.table = {lot.index: self._table(lot) for lot in lots}

    def add(self) -> None:
        by_day: dict[int, list[_Share]] = defaultdict(list)
        for share in self.master.shares:
            by_day[share.start.day].append(share)
        for number, shares in by_day.items():
            day = self.master.days[number]
            for tick in sorted({share.start.tick for share in shares}):
                if (tick - day.open) % 3 == 0 or tick - day.open < 36:
                    inside = [share for share in shares if share.start.tick <= tick]
                    self._add_rows(day, tick - day.open, inside)

    def _add_rows(self, day: Day, length: int, inside: list[_Share]) -> None:
        rules, programme = self.problem.rules, self.master.programme
        if rules.tables:
            row = {s.column: self._wash(s, day) for s in inside if s.lot.arrives > day.open}
            programme.at_most(self.problem.wash_lines * (length - 3), row)
            row = {s.column: self.table[s.lot.index] for s in inside}
            programme.at_most(self._table_rate() * length, row)
        if rules.steamers:
            row = {s.column: self.steam[s.lot.index] for s in inside if self.steam[s.lot.index]}
            if row:
                programme.at_most(len(self.problem.steamers) * (length - 6), row)
        by_grower: dict[int, dict[int, float]] = defaultdict(dict)
        for share in inside:
            pair = self.cut[share.lot.index] + self._wash(share, day)
            by_grower[share.lot.grower][share.column] = pair
        for row in by_grower.values():
            programme.at_most(length - 2, row)

    def _wash(self, share: _Share, day: Day) -> float:
        return self.wash[share.lot.index] if share.lot.arrives > day.open else 0.0

    def _table(self, lot: Lot) -> float:
        """Ticks at a plain table that one rack takes at the least."""
        return min(
            max(0, recipe.cut - 1) * sum(self._rate(kind) for kind in recipe.tables) / recipe.racks
            for recipes in lot.sizes.values()
            for recipe in recipes
        )

    def _rate(self, kind: int) -> float:
        return self.problem.table_kinds[kind].slicer_percent / 100

    def _table_rate(self) -> float:
        return sum(len(kind.ids) * kind.slicer_percent / 100 for kind in self.problem.table_kinds)


def _least(lot: Lot, figure: str) -> float:
    """The least of a figure that one rack takes, over all sizes and recipes."""
    return min(
        max(0, int(getattr(recipe, figure)) - 1) * max(1, len(recipe.steamers) if figure == "steam" else 1) / recipe.racks
        for recipes in lot.sizes.values()
        for recipe in recipes
    )


def first_bound(problem: Problem, seconds: float = 30.0) -> int:
    """The relaxed week's optimum, or everything asked where it is not found in time."""
    everything = sum(lot.prepared_g for lot in problem.lots)
    found = Master(problem).bound(seconds)
    return everything if found is None else found
