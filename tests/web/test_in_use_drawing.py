"""Steamers, tables, hands and power are drawn to scale below the strips, and told in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

import pytest

from scheduler.domain.plan import Plan
from scheduler.in_use import hands_at_work, power_drawn, stations_in_use
from scheduler.measures import measure
from tests.asking import Asking
from tests.printed_plan import printed_plan
from tests.served import AUGUST, WEEK
from tests.shelves import fresh_shelf, put
from tests.site import words
from web.app import create_site
from web.views.in_use import LEVEL, InUse
from web.views.reading import Reading
from web.views.scale import HOUR_WIDTH
from web.views.strips import drawing


@pytest.fixture(scope="module")
def drawn(plan: Plan) -> InUse:
    reading = Reading(zone=AUGUST.kitchen.zone)
    return drawing(AUGUST, plan, measure(AUGUST, plan), reading).in_use


def test_blocks_are_as_wide_as_the_hours(plan: Plan, drawn: InUse):
    for station, row in zip(stations_in_use(AUGUST, plan), drawn.rows, strict=True):
        assert row.id == station.station_id
        for use, block in zip(station.uses, row.blocks, strict=True):
            hours = use.span.seconds / 3600
            assert block.width == pytest.approx(hours * HOUR_WIDTH, abs=0.02)
            assert use.code in block.says


def test_rows_stand_below_each_other_inside_the_drawing(drawn: InUse):
    every = [(row.top, row.base) for row in drawn.rows]
    every += [(level.top, level.base) for level in drawn.levels]
    assert all(base <= top for (_, base), (top, _) in pairwise(every))
    assert every[-1][1] <= drawn.base


def test_power_is_drawn_against_the_supply(plan: Plan, drawn: InUse):
    power = drawn.levels[-1]
    heights = [power.base - float(each) for each in re.findall(r"V([\d.]+)", power.area)]
    most = max(step.amount for step in power_drawn(AUGUST, plan))
    supply = AUGUST.kitchen.limits.supply_watts
    assert max(heights) == pytest.approx(LEVEL * most / supply, abs=0.02)
    assert f"V{power.top:g}" in power.most  # the supply is the full height
    assert power.fraction == f"at most {most / 1000:.1f} of {supply / 1000:g} kW"


def test_hands_are_drawn_against_those_on_shift(plan: Plan, drawn: InUse):
    hands = drawn.levels[0]
    assert hands.name == "hands"
    most = max(step.amount for step in hands_at_work(AUGUST, plan))
    assert hands.fraction.startswith(f"at most {most:g} of ")
    assert hands.area.startswith("M")


def test_the_easier_rules_leave_power_alone():
    plan = printed_plan(AUGUST)
    found = drawing(AUGUST, plan, measure(AUGUST, plan), Reading()).in_use
    assert found.rows == ()
    assert [level.name for level in found.levels] == ["power"]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Asking]:
    with fresh_shelf(tmp_path_factory.mktemp("in_use")) as shelf:
        put(shelf, AUGUST, plan)
        yield Asking(create_site(shelf), base_url="http://127.0.0.1")


@pytest.mark.parametrize("path", [f"/weeks/{WEEK}", "/plans/1"])
def test_the_same_is_told_in_words(site: Asking, plan: Plan, path: str):
    page = site.get(path).text
    said = words(page)
    assert "Steamers, tables, hands and power, day by day" in said
    for station in stations_in_use(AUGUST, plan):
        assert all(use.code in said for use in station.uses)
        assert (f'<th scope="row">{station.station_id}</th>' in page) == bool(station.uses)
    assert page.count('<th scope="row">power</th>') == len(
        AUGUST.kitchen.staffed_spans(AUGUST.week.days)
    )
