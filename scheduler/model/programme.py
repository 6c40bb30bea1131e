"""A linear programme under construction, and its columns of runs and racks.

Rows that seldom bind are left out at first when it is asked for its columns, and put in where the
answer breaks them: with few columns free most of them never matter.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, chain

import highspy
import numpy as np

from scheduler.problem import DryerSpec, Lot, Problem

INFINITE = highspy.kHighsInf
Row = tuple[float, dict[int, float]]  # how much there is, and what each column takes of it
LOOSE = 1e-6  # by so much a row may be exceeded (HiGHS, primal_feasibility_tolerance: 1e-7)


@dataclass(slots=True)
class Programme:
    """A linear programme under construction, row by row."""

    costs: list[float] = field(default_factory=list)
    uppers: list[float] = field(default_factory=list)
    row_lowers: list[float] = field(default_factory=list)
    row_uppers: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    index: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)
    seldom: list[Row] = field(default_factory=list)

    def column(self, cost: float, upper: float) -> int:
        self.costs.append(cost)
        self.uppers.append(upper)
        return len(self.costs) - 1

    def equal(self, level: float, row: dict[int, float]) -> None:
        self._row(level, level, row)

    def at_most(self, upper: float, row: dict[int, float], *, seldom: bool = False) -> None:
        """seldom: whether it is thought to bind in few answers."""
        if seldom:
            self.seldom.append((upper, row))
        else:
            self._row(-INFINITE, upper, row)

    def _row(self, lower: float, upper: float, row: dict[int, float]) -> None:
        self.row_lowers.append(lower)
        self.row_uppers.append(upper)
        self.index.extend(row)
        self.value.extend(row.values())
        self.starts.append(len(self.index))

    def bound(self, seconds: float, *, roughly: bool = False) -> float | None:
        """What no answer is worth more than, and the best answer hardly less; None where nothing
        was found in time. roughly: sooner, without the rows that seldom bind and never by way of a
        corner, which can take five times as long.

        An interior point is no corner, and its worth no proof; its prices of the rows prove as much
        as any others (weak duality), mostly so closely that the way to a corner can be spared.
        """
        if not self.costs:
            return 0.0
        lp = self._lp(() if roughly else self.seldom)
        highs = _loaded(lp, seconds)
        highs.setOptionValue("solver", "ipm")
        highs.setOptionValue("run_crossover", "off" if roughly else "choose")
        highs.run()
        found = highs.getSolution()
        most = proven(lp, found.row_dual) if found.dual_valid else INFINITE
        return most if np.isfinite(most) else None  # cut off, prices may be anything

    def bound_of_whole(self, whole: Collection[int], seconds: float) -> float | None:
        """What no answer is worth more than that has whole numbers in these columns, as far as it
        was found in time; None where nothing was found. As good as HiGHS's branch and bound."""
        if not self.costs:
            return 0.0
        lp = self._lp(self.seldom)
        kinds = [highspy.HighsVarType.kContinuous] * lp.num_col_
        for column in whole:
            kinds[column] = highspy.HighsVarType.kInteger
        lp.integrality_ = kinds
        highs = _loaded(lp, seconds)
        highs.setOptionValue("mip_rel_gap", 0.0)
        highs.run()
        ended = highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kTimeLimit
        most = float(highs.getInfo().mip_dual_bound)
        return most if highs.getModelStatus() in ended and np.isfinite(most) else None

    def solution(
        self, costs: Mapping[int, float], fixed: Mapping[int, float], seconds: float
    ) -> list[float]:
        """The best value of every column under other costs of some and with some fixed; empty if it
        was not reached in time."""
        if not self.costs:
            return []
        lp = self._lp()
        lp.col_cost_ = _but_for(costs, self.costs)
        lp.col_lower_ = _but_for(fixed, [0.0] * len(self.costs))
        lp.col_upper_ = _but_for(fixed, self.uppers)
        highs, left = _loaded(lp, seconds), dict(enumerate(self.seldom))
        while True:
            highs.run()
            if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                return []
            found = list(highs.getSolution().col_value)
            broken = [n for n, (upper, row) in left.items() if _taken(row, found) > upper + LOOSE]
            if not broken:
                return found
            for number in broken:
                _add(highs, *left.pop(number))

    def _lp(self, more: Sequence[Row] = ()) -> highspy.HighsLp:
        """more: rows beside those that are always in it."""
        rows = [row for _, row in more]
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.row_uppers) + len(more)
        lp.sense_ = highspy.ObjSense.kMaximize
        lp.col_cost_, lp.col_upper_ = self.costs, self.uppers
        lp.col_lower_ = [0.0] * len(self.costs)
        lp.row_lower_ = [*self.row_lowers, *(-INFINITE for _ in more)]
        lp.row_upper_ = [*self.row_uppers, *(upper for upper, _ in more)]
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        ends = accumulate(map(len, rows), initial=self.starts[-1])
        lp.a_matrix_.start_ = [*self.starts[:-1], *ends]
        lp.a_matrix_.index_ = [*self.index, *chain.from_iterable(rows)]
        lp.a_matrix_.value_ = [*self.value, *chain.from_iterable(row.values() for row in rows)]
        return lp


def proven(lp: highspy.HighsLp, prices: Sequence[float]) -> float:
    """What no answer is worth more than, whatever the prices of the rows: what the rows have, at
    their prices, and of each column its most for what its worth exceeds what it takes.

    lp: to be maximized; columns from 0 up, rows at most or equal to their upper end.
    """
    matrix = lp.a_matrix_
    paid = np.where(np.isneginf(lp.row_lower_), np.maximum(prices, 0.0), prices)
    each = np.repeat(paid, np.diff(matrix.start_)) * np.asarray(matrix.value_)
    taken = np.bincount(matrix.index_, weights=each, minlength=lp.num_col_)
    left = np.maximum(np.asarray(lp.col_cost_) - taken, 0.0)
    return float(paid @ np.asarray(lp.row_upper_) + left @ np.asarray(lp.col_upper_))


def _but_for(some: Mapping[int, float], every: list[float]) -> list[float]:
    return [some.get(column, figure) for column, figure in enumerate(every)]


def _taken(row: Mapping[int, float], found: Sequence[float]) -> float:
    return sum(figure * found[column] for column, figure in row.items())


def _add(highs: highspy.Highs, upper: float, row: Mapping[int, float]) -> None:
    highs.addRow(-INFINITE, upper, len(row), list(row), list(row.values()))


def _loaded(lp: highspy.HighsLp, seconds: float) -> highspy.Highs:
    highs = highspy.Highs()  # type: ignore[no-untyped-call] # the solver's own, unannotated
    highs.silent()
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("time_limit", seconds)
    highs.passModel(lp)
    return highs


@dataclass(frozen=True, slots=True)
class Start:
    """A run column: on which kind of dryer and day, of which group, when it starts, how long it
    dries and when it is released."""

    kind: int
    day: int
    group: int
    tick: int
    drying: int
    released: int
    column: int


@dataclass(frozen=True, slots=True)
class Unload:
    """Unloading of runs released together: when it begins and ends, and when it leaves the dryer
    free; dirty: after which group, where it is not washed down."""

    kind: int
    released: int
    begins: int
    ends: int
    free: int
    dirty: int | None
    column: int


@dataclass(frozen=True, slots=True)
class Share:
    """A rack column: racks of a lot in the runs of one start."""

    lot: Lot
    start: Start
    column: int


class Columns:
    """What the relaxed week is made of, for those who add rows to it."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.programme = Programme()
        self.days = [day for day in problem.days if day.plans]
        self.kinds: list[list[DryerSpec]] = []
        self.starts: list[Start] = []
        self.shares: list[Share] = []
        self.unloads: list[Unload] = []
