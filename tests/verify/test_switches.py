"""A rule book without a rule takes plans that lack what it asks for, and some that break it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduler.domain.plan import GROWER, TablePlace
from scheduler.domain.rules import FULL, SWITCHES, less
from scheduler.verify import verify
from tests.builders import at, span, steam_load
from tests.verify.changes import (
    with_charge,
    with_limits,
    with_preparation,
    with_run,
)
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan


@pytest.mark.parametrize("switch", SWITCHES)
def test_the_good_week_holds_without_any_one_rule(switch: str):
    assert verify(good_asked(), good_plan(), less(switch)) == ()


def test_without_hands_no_duties_are_needed():
    plan = replace(good_plan(), duties=())
    assert {fault.rule for fault in verify(good_asked(), plan)} == {12}
    assert verify(good_asked(), plan, less("hands")) == ()


def test_without_packing_nothing_is_planned_after_the_dryer():
    plan = good_plan()
    for _, charge in plan.charges():
        plan = with_charge(plan, charge.code, after=None)
    assert {fault.rule for fault in verify(good_asked(), plan)} == {17}
    assert verify(good_asked(), plan, less("packing")) == ()


def test_without_wash_downs_none_is_planned():
    plan = with_run(good_plan(), "D1 Mon", wash_down=None)
    assert verify(good_asked(), plan, less("wash_downs")) == ()


def test_without_tables_the_cut_still_takes_its_time():
    """Bean and tomato share T1, where bean is cut at the pair's rate: that is long enough."""
    plan = with_preparation(good_plan(), "N4", tables=(TablePlace("T1", GROWER),))
    assert verify(good_asked(), plan, less("tables")) == ()
    hasty = with_preparation(plan, "N4", cut=span("Tue 09:35", "10:30"))
    assert [fault.rule for fault in verify(good_asked(), hasty, less("tables"))] == [9]


def test_without_steamers_loads_overlap_and_still_take_their_time():
    loads = tuple(
        steam_load("S1", "Tue 10:30", steam=5, grams=9000, chilled="Tue 11:01") for _ in range(3)
    )
    plan = with_preparation(good_plan(), "N4", steam_loads=loads)
    asked = with_limits(good_asked(), supply_watts=60_000)
    assert {fault.rule for fault in verify(asked, plan)} == {10, 11}
    assert verify(asked, plan, less("steamers")) == ()
    short = tuple(replace(load, steamed=at("Tue 10:34")) for load in loads)
    hasty = with_preparation(plan, "N4", steam_loads=short)
    assert {fault.rule for fault in verify(asked, hasty, less("steamers"))} == {10}


def test_without_waits_the_order_stays():
    """Tomato B may be cut in the early morning, but its last rack must be in before the start."""
    early = with_preparation(
        good_plan(), "N2 B", cut=span("Tue 08:45", "09:10"), last_rack=at("Tue 09:20")
    )
    assert {fault.rule for fault in verify(good_asked(), early)} == {7, 9}
    assert verify(good_asked(), early, less("waits")) == ()
    late = with_preparation(
        good_plan(), "N2 B", cut=span("Tue 11:30", "11:55"), last_rack=at("Tue 12:05")
    )
    assert [fault.rule for fault in verify(good_asked(), late, less("waits"))] == [7]


def test_the_full_book_is_the_default():
    plan = replace(good_plan(), duties=())
    assert verify(good_asked(), plan) == verify(good_asked(), plan, FULL) != ()
