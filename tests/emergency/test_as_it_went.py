"""Part-lots of a plan that went otherwise, or at other times, by the night log."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.part_lot import DriesOn, Held
from scheduler.domain.plan import Plan
from scheduler.emergency import Logged, as_logged, proposals
from scheduler.scenario import load
from tests.builders import at

STOP, NOW = at("Tue 22:10"), at("Wed 02:30")
COLD = Logged("R09", "B", at("Wed 01:30"), None, None, over=False, stopped=STOP)


@pytest.fixture(scope="module")
def asked() -> Asked:
    return load("dryer_down")


@pytest.fixture(scope="module")
def plan(asked: Asked) -> Plan:
    parts = next(proposals(asked, None, "D3", STOP))
    return Plan(asked.week, "full", (), (), part_lots=parts)


def test_later_into_the_cold_and_later_dried_on(asked: Asked, plan: Plan):
    first = Logged("R09", "A", None, None, at("Wed 00:40"), over=False, stopped=STOP)
    a, b = as_logged(asked, plan, "D3", NOW, [first, COLD])
    assert a.dries_on == DriesOn("D2", 57.0, at("Wed 00:40"), at("Wed 05:40"))
    was = plan.part_lots[1]
    assert was.held
    assert b == replace(was, held=Held("K1", at("Wed 01:30"), was.held.until))
    made = replace(plan, part_lots=(a, b))
    assert as_logged(asked, made, "D3", NOW, [first, COLD]) == ()


def test_over_the_limit_a_person_is_asked(asked: Asked, plan: Plan):
    late = replace(COLD, cold=at("Wed 02:20"), over=True)
    (part,) = as_logged(asked, plan, "D3", NOW, [late])
    assert (part.code, part.in_control) == ("R09 B", None)


def test_kept_cold_where_it_was_to_dry_on_it_gets_another_run(asked: Asked, plan: Plan):
    (part,) = as_logged(asked, plan, "D3", NOW, [replace(COLD, letter="A")])
    assert part.held
    assert part.held.since == at("Wed 01:30")
    assert part.dries_on
    assert part.dries_on.start > NOW


def test_the_log_of_another_stop_tells_nothing_of_it(asked: Asked, plan: Plan):
    other = replace(COLD, stopped=at("Wed 01:00"))
    assert as_logged(asked, plan, "D3", NOW, [other]) == ()
