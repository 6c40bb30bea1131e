"""The printed plan of August holds under the easier rules, and its weak spots are found.

The plan and what it admits ("weak spots a full-rule plan must fix") are demo, printed with the
scenario: 24 of 26 notes, 5,909 loaded rack-hours.
"""

from __future__ import annotations

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import GROWER, Plan, Preparation, TablePlace
from scheduler.domain.rules import SIMPLE, less
from scheduler.scenario import load
from scheduler.units import HOUR, MINUTE
from scheduler.verify import verify
from tests.builders import at, span, steam_load
from tests.printed_plan import printed_plan
from tests.verify.changes import with_charge, with_run


@pytest.fixture(scope="module")
def asked() -> Asked:
    return load("august")


@pytest.fixture(scope="module")
def plan(asked: Asked) -> Plan:
    return printed_plan(asked)


def run_with(plan: Plan, note_id: str) -> str:
    return next(run.id for run, charge in plan.charges() if charge.note_id == note_id)


def test_it_holds_under_the_easier_rules(asked: Asked, plan: Plan):
    assert verify(asked, plan, SIMPLE) == ()


def test_it_is_the_plan_as_printed(asked: Asked, plan: Plan):
    rack_seconds = sum(run.racks * Span(run.start, run.end).seconds for run in plan.runs)
    placed = {charge.note_id for _, charge in plan.charges()}
    assert rack_seconds == 5909 * HOUR
    assert len(placed) == 24
    assert sum(asked.note(note_id).field_g for note_id in placed) == 1_380_000


def test_onion_leaves_no_time_to_wash_down_before_tomato(asked: Asked, plan: Plan):
    onion, tomato = run_with(plan, "R15"), run_with(plan, "R20")
    plan = with_run(plan, onion, unload=span("Fri 07:00", "Fri 07:45"))
    found = [fault for fault in verify(asked, plan) if fault.rule == 8 and fault.run_id == tomato]
    assert [fault.message for fault in found] == [
        "D3 needs 2 h 30 min of staffed time for turn-round and wash-down before its run of "
        "Fri 21 Aug 08:15; there are 1 h 15 min"
    ]
    later = with_run(plan, tomato, start=at("Fri 09:45"), end=at("Sat 00:45"))
    washed = with_run(later, onion, wash_down=span("Fri 07:45", "Fri 09:15"))
    assert not any(fault.run_id == tomato and fault.rule == 8 for fault in verify(asked, washed))


def test_without_the_wash_down_rule_the_turn_round_is_enough(asked: Asked, plan: Plan):
    tomato = run_with(plan, "R20")
    plan = with_run(plan, run_with(plan, "R15"), unload=span("Fri 07:00", "Fri 07:45"))
    faults = verify(asked, plan, less("wash_downs"))
    assert not any(fault.run_id == tomato and fault.rule == 8 for fault in faults)


def beet_in_one_charge() -> Preparation:
    """All 51 kg in five loads of 31 minutes on the large steamer, as early as can be."""
    loads = tuple(
        steam_load("S1", f"Wed {into}", steam=25, grams=10_200, chilled=f"Wed {chilled}")
        for into, chilled in (
            ("12:05", "12:56"),
            ("12:36", "13:27"),
            ("13:07", "13:58"),
            ("13:38", "14:29"),
            ("14:09", "15:00"),
        )
    )
    return Preparation(
        wash_line_id="W1",
        wash=span("Wed 11:15", "11:45"),
        cut=span("Wed 11:45", "13:25"),
        tables=(TablePlace("T1", GROWER),),
        steam_loads=loads,
        last_rack=at("Wed 15:10"),
    )


def test_beet_steamed_in_one_charge_waits_too_long_for_the_dryer(asked: Asked, plan: Plan):
    plan = with_charge(plan, "R16", preparation=beet_in_one_charge())
    found = [
        fault.message
        for fault in verify(asked, plan)
        if fault.rule in {7, 9, 10} and fault.charge == "R16"
    ]
    assert found == [
        "R16 starts drying 2 h 45 min after the end of its first steaming; 2 h at most"
    ]


def test_no_start_of_that_run_would_keep_the_wait(asked: Asked):
    """From the first load steamed to the last rack in are 160 minutes: it must be split."""
    made = beet_in_one_charge()
    wait = made.last_rack - made.steam_loads[0].steamed
    assert wait.total_seconds() == 160 * MINUTE > asked.kitchen.limits.steam_to_dryer_s
