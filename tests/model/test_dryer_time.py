"""The bound counts a wash-down between groups (rule 8), for each dryer by itself."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.rules import FULL, RuleBook, less
from scheduler.model.master import Master
from scheduler.prepare import problem
from tests.tiny import DAY, RACK_G, Lot, Tiny, asked

# One dryer: strong, then mild just after its turn-round, then strong again on the day after.
KITCHEN = Tiny(
    (
        Lot(1, 16, 20, "G1", "strong", drying=6),
        Lot(1, 16, 26, "G2", "mild", drying=6),
        Lot(1, DAY + 16, DAY + 24, "G3", "strong", drying=6),
    ),
    dryers=(1,),
    shift=24,
    hands=3,
)


def racks(rules: RuleBook) -> float:
    bound = Master(problem(asked(KITCHEN), rules)).bound(30)
    assert bound is not None
    return bound / RACK_G


def test_a_later_run_of_the_group_does_not_excuse_the_wash_down_before_another():
    assert racks(less("wash_downs")) == 3
    assert racks(FULL) < 3


def test_dryers_whose_wash_downs_differ_are_not_alike():
    week = problem(asked(replace(KITCHEN, dryers=(1, 1))), FULL)
    assert len(Master(week).kinds) == 1
    first, second = week.dryers
    slower = replace(second, wash_down=second.wash_down + 2)
    assert len(Master(replace(week, dryers=(first, slower))).kinds) == 2
