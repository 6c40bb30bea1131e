"""What the rules' files share: the model under construction and the bundles of variables in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from scheduler.problem import DraftCharge, DraftRun, DryerSpec, Lot, Problem, Recipe
from scheduler.whiteboard.board import Board

Literal = cp_model.IntVar
Expression = cp_model.LinearExpr | int


@dataclass(slots=True)
class Slot:
    """Room for one run on a dryer: a new one that starts on a certain day, or one that is kept
    as it is."""

    dryer: DryerSpec
    kept: DraftRun | None
    day: int  # index into problem.days
    present: Literal
    start: Expression
    drying: Expression
    unload: Literal | int
    free_racks: int
    groups: dict[int, Literal] = field(default_factory=dict)
    dryings: dict[int, Literal] = field(default_factory=dict)
    charges: list[tuple[Charge, Literal]] = field(default_factory=list)
    wash_before: tuple[Literal, Literal] | None = None  # whether, and when
    after: list[After] = field(default_factory=list)  # of a kept run that is loose

    @property
    def unloaded(self) -> Expression:
        return self.unload + self.dryer.unload

    @property
    def out(self) -> tuple[int, int]:
        """The first tick and the last at which its unloading may be done."""
        first, last = reach(self.unload)
        return first + self.dryer.unload, last + self.dryer.unload


@dataclass(frozen=True, slots=True)
class After:
    """When a kept charge is checked and packed, where that is open."""

    charge: DraftCharge
    check: Literal
    pack: Literal


@dataclass(slots=True)
class Charge:
    """One charge that a free lot may have. options: every size and recipe it may take.

    Steps that the rule book leaves out keep the constant nought for their time.
    """

    lot: Lot
    number: int
    present: Literal
    options: list[tuple[Recipe, Literal]]
    start: Literal  # of its run
    wash: Literal
    cut: Literal
    steam: Literal
    check: Literal
    pack: Literal
    pair_attends: Literal | None = None
    slots: list[tuple[Slot, Literal]] = field(default_factory=list)

    totals: dict[str, Expression] = field(default_factory=dict)


@dataclass(slots=True)
class Build:
    """A model under construction: what is kept stands on the board, what is free becomes
    variables."""

    problem: Problem
    board: Board
    model: cp_model.CpModel
    slots: list[Slot] = field(default_factory=list)
    charges: list[Charge] = field(default_factory=list)
    hand_tasks: list[tuple[cp_model.IntervalVar, Expression]] = field(default_factory=list)
    pair_tasks: dict[int, list[cp_model.IntervalVar]] = field(default_factory=dict)
    watt_tasks: list[tuple[cp_model.IntervalVar, Expression]] = field(default_factory=list)
    closing: list[tuple[DraftRun, Literal, Literal]] = field(default_factory=list)
    nought: Literal = field(init=False)

    def __post_init__(self) -> None:
        self.nought = self.model.new_constant(0)

    def total(self, charge: Charge, figure: str) -> Expression:
        """The chosen option's figure, 0 where the charge is absent; a single variable, fit for
        intervals."""
        if figure not in charge.totals:
            figures = [int(getattr(recipe, figure)) for recipe, _ in charge.options]
            if len(set(figures)) == 1:
                charge.totals[figure] = figures[0] * charge.present
            else:
                total = self.model.new_int_var(0, max(figures), figure)
                literals = [literal for _, literal in charge.options]
                self.model.add(total == cp_model.LinearExpr.weighted_sum(literals, figures))
                charge.totals[figure] = total
        return charge.totals[figure]

    def boolean(self, name: str) -> Literal:
        return self.model.new_bool_var(name)

    def tick(self, name: str, allowed: int | None = None) -> Literal:
        """A tick, in the mask where one is given."""
        if allowed is None:
            return self.model.new_int_var(0, self.problem.horizon, name)
        return self.model.new_int_var_from_domain(domain(allowed), name)

    def interval(
        self, start: Expression, size: Expression, present: Literal | None, name: str
    ) -> cp_model.IntervalVar:
        """An interval of a size that may vary, present where the literal is true."""
        if isinstance(size, int):
            if present is None:
                return self.model.new_fixed_size_interval_var(start, size, name)
            return self.model.new_optional_fixed_size_interval_var(start, size, present, name)
        end = self.model.new_int_var(0, self.problem.horizon + 300, f"{name} end")
        length = self.single(size, 400)
        if present is None:
            return self.model.new_interval_var(start, length, end, name)
        return self.model.new_optional_interval_var(start, length, end, present, name)

    def single(self, amount: Expression, most: int) -> Expression:
        """The amount as one variable, as intervals and cumulative rows want it."""
        variable = self.model.new_int_var(0, most, "")
        self.model.add(variable == amount)
        return variable


def reach(variable: Literal | int) -> tuple[int, int]:
    """The least and the most that it can be."""
    if isinstance(variable, int):
        return variable, variable
    ends = variable.proto.domain
    return ends[0], ends[len(ends) - 1]


def stretches(mask: int) -> Iterator[tuple[int, int]]:
    """The unbroken stretches of a mask: first tick, and the tick after the last."""
    while mask:
        start = (mask & -mask).bit_length() - 1
        shifted = mask >> start
        length = (~shifted & (shifted + 1)).bit_length() - 1
        yield start, start + length
        mask = (shifted >> length) << (start + length)


def domain(mask: int) -> cp_model.Domain:
    """The ticks of a mask as a solver domain."""
    return cp_model.Domain.from_intervals([[first, after - 1] for first, after in stretches(mask)])
