"""For every rule a twin of the good week with one thing broken: exactly that is found."""

from __future__ import annotations

import pytest

from scheduler.domain.rules import FULL, SWITCHES, less
from scheduler.verify import verify
from tests.verify import (
    twins_again,
    twins_between,
    twins_emergency,
    twins_grid,
    twins_lots,
    twins_night,
    twins_people,
    twins_power,
    twins_promised,
    twins_racks,
    twins_stations,
    twins_stream,
    twins_wishes,
)
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan
from tests.verify.twin import Twin

MODULES = (
    twins_grid,
    twins_night,
    twins_racks,
    twins_between,
    twins_stream,
    twins_stations,
    twins_people,
    twins_power,
    twins_promised,
    twins_wishes,
    twins_lots,
    twins_emergency,
    twins_again,
)
TWINS = [twin for module in MODULES for twin in module.TWINS]
ALLOWED = [twin for module in MODULES for twin in module.ALLOWED]


def named(twin: Twin) -> str:
    return f"{twin.rule}-{twin.name}"


def test_the_good_week_holds():
    assert verify(good_asked(), good_plan(), FULL) == ()


@pytest.mark.parametrize("twin", TWINS, ids=named)
def test_a_twin_is_found_by_its_rule_alone(twin: Twin):
    faults = verify(*twin.make())
    assert [fault.rule for fault in faults] == [twin.rule] * twin.faults, faults
    assert twin.says in faults[0].message


@pytest.mark.parametrize("twin", ALLOWED, ids=named)
def test_what_is_just_allowed_holds(twin: Twin):
    assert verify(*twin.make()) == ()


@pytest.mark.parametrize("twin", TWINS, ids=named)
def test_a_switch_leaves_out_its_own_checks_only(twin: Twin):
    asked, plan = twin.make()
    for switch in SWITCHES:
        left = 0 if switch in twin.without else twin.faults
        rules = [fault.rule for fault in verify(asked, plan, less(switch))]
        assert rules == [twin.rule] * left, switch


def test_twins_have_names_of_their_own():
    names = [named(twin) for twin in (*TWINS, *ALLOWED)]
    assert len(names) == len(set(names))
