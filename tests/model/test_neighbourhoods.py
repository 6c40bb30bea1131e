"""The model: hints it takes, drafts it gives, and bounds above them, in random small kitchens."""

from collections import defaultdict
from dataclasses import replace
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.expand import expanded
from scheduler.model.build import build_model
from scheduler.model.climb import Budget, Climber
from scheduler.model.hint import hint
from scheduler.model.master import Master, bounds
from scheduler.model.objective import add_objective
from scheduler.model.runs import day_of_start
from scheduler.model.solve import Effort, solved
from scheduler.model.whole import whole_bound
from scheduler.prepare import problem
from scheduler.problem import Draft
from scheduler.scenario import load
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.board import Board
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.masks import block
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth
from tests import tiny
from tests.strategies import kitchens

LIGHT = Effort(seconds=60, work=0.1)
STEPS = ("wash", "cut", "steam", "check", "pack")
BOOKS = st.sampled_from([FULL, FULL, SIMPLE])
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


@settings(SLOW, max_examples=20)
@given(kitchens(), BOOKS, st.sampled_from([1, 2, 6]))
def test_what_the_model_finds_holds_and_lies_below_the_bound(
    asked: Asked, rules: RuleBook, grain: int
) -> None:
    week = problem(asked, rules)
    lots = [lot for lot in week.lots if lot.sizes and lot.dryers]
    by_hand = whiteboard(week)
    sizes = {lot.index: sorted(lot.sizes) for lot in lots}
    build = build_model(week, Board(week, Calendars(week)), lots, sizes)
    add_objective(build)
    taken = hint(build, by_hand, LIGHT)
    found = solved(build, LIGHT)
    master = Master(week, grain)
    bound, whole = master.bound(60), whole_bound(master, 60)
    assert bound is not None
    assert worth(week, by_hand) <= min(whole, bound)
    assert whole <= bound or rules.easier
    if found is not None:
        plan = expanded(asked, week, found)
        assert verify(asked, plan, rules) == ()
        assert plan.worth_g == worth(week, found) <= min(whole, bound)
        if taken:
            assert worth(week, found) >= worth(week, by_hand)


def may_be(variable: cp_model.IntVar, value: int) -> bool:
    ends = [variable.proto.domain[place] for place in range(len(variable.proto.domain))]
    return bool(cp_model.Domain.from_flat_intervals(ends).contains(value))


@settings(SLOW, max_examples=40)
@given(kitchens(), BOOKS, st.integers(0, 99))
def test_every_time_of_a_draft_by_hand_is_open_to_its_charge(
    asked: Asked, rules: RuleBook, seed: int
) -> None:
    week = problem(asked, rules)
    ruin, draft = Ruin(week, Random(seed)), whiteboard(week)
    for _ in range(5):
        draft = ruin.step(draft) or draft
    sizes = {lot.index: sorted(lot.sizes) for lot in ruin.lots}
    build = build_model(week, ruin.rebuilt(Draft(()), set()), ruin.lots, sizes)
    charges = {(charge.lot.index, charge.number): charge for charge in build.charges}
    numbers: dict[int, int] = defaultdict(int)
    for run in sorted(draft.runs, key=lambda run: (run.start, run.dryer)):
        for made in run.charges:
            if made.lot in week.firm.lots:
                continue
            charge = charges[made.lot, numbers[made.lot]]
            numbers[made.lot] += 1
            assert may_be(charge.start, run.start)
            for step in STEPS:
                if (at := getattr(charge, step)) is not build.nought and at is not None:
                    assert may_be(at, getattr(made, step)), step
        alike = [
            s
            for s in build.slots
            if s.dryer.index == run.dryer and s.day == day_of_start(week, run)
        ]
        assert any(isinstance(s.unload, int) or may_be(s.unload, run.unload) for s in alike)


def test_a_charge_may_be_cut_as_long_before_its_start_as_it_may_wait_and_no_longer() -> None:
    week = problem(load("august"))
    draft, ruin = whiteboard(week), Ruin(week, Random(1))
    seen = 0
    for run in draft.runs:
        for made in run.charges:
            lot, longest = week.lots[made.lot], made.recipe.ready_to
            soonest = run.start - longest
            at_work = week.staffed & ~week.away[lot.grower] & ~block(0, lot.arrives)
            if made.recipe.steamers or at_work >> max(0, soonest - 1) & 3 != 3:
                continue
            seen += 1
            then = replace(lot, earliest=run.start, latest=run.start)
            board = ruin.rebuilt(draft, {lot.index})
            build = build_model(week, board, [then], {lot.index: sorted(lot.sizes)})
            assert may_be(build.charges[0].cut, soonest)
            assert not may_be(build.charges[0].cut, soonest - 1)
    assert seen


@settings(SLOW, max_examples=4)
@given(kitchens(), BOOKS)
def test_a_bound_that_comes_sooner_is_no_tighter(asked: Asked, rules: RuleBook) -> None:
    week = problem(asked, rules)
    soon, then = bounds(week, lambda: Master(week))
    assert soon + 1 >= then >= worth(week, whiteboard(week))  # a gram, by rounding
    assert then == Master(week).bound(60)


@settings(SLOW, max_examples=8)
@given(kitchens(), st.integers(0, 99))
def test_a_climber_never_falls_below_its_start_and_repeats(asked: Asked, seed: int) -> None:
    week = problem(asked, FULL)
    start = whiteboard(week)
    budget = Budget(seconds=None, steps=45, warmth=0.2)
    first, again = (Climber(week, seed).round(start, budget, lambda *_: None) for _ in range(2))
    assert worth(week, first) >= worth(week, start)
    assert first == again
    assert verify(asked, expanded(asked, week, first), FULL) == ()


def test_an_old_hint_is_cleared() -> None:
    week = problem(load("spring_day"))
    by_hand = whiteboard(week)
    lots = list(week.lots)
    build = build_model(
        week, Board(week, Calendars(week)), lots, {lot.index: [lot.racks] for lot in lots}
    )
    add_objective(build)
    assert hint(build, by_hand, LIGHT)
    assert hint(build, by_hand, LIGHT)
    hinted = list(build.model.proto.solution_hint.vars)
    assert sorted(hinted) == list(range(len(build.model.proto.variables)))


def test_a_hint_leaves_out_the_charges_that_are_kept() -> None:
    """A lot in two runs: one stands on the board, the other is free and hinted."""
    lot = tiny.Lot(2, 16, tiny.DAY + 26, drying=8)
    week = problem(tiny.asked(tiny.Tiny((lot,), dryers=(1,))))
    by_hand = whiteboard(week)
    first, then = by_hand.runs
    assert first.charges[0].lot == then.charges[0].lot
    board = Board(week, Calendars(week))
    board.add_run(replace(first, wash_down=None))
    rest = replace(week.lots[0], racks=1, most_charges=1)
    build = build_model(week, board, [rest], {rest.index: [1]})
    assert hint(build, by_hand, LIGHT)
