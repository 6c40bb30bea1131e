"""Two kept plans side by side, on the page, over HTTP and at the border of weeks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.served import WEEK, Kitchen
from tests.site import entered, with_posted, words


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path_factory.mktemp("comparing"), plan) as found:
        found.laid_out(replace(plan, runs=plan.runs[1:]))
        yield found


@pytest.fixture(scope="module")
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def test_the_page_tells_who_loses_a_place(lotte: Asking, plan: Plan):
    page = words(lotte.get("/plans/2/beside/1").text)
    assert "Plan 2 beside plan 1" in page
    whole = {c.note_id for r in plan.runs[1:] for c in r.charges}
    lost = [c.note_id for c in plan.runs[0].charges if c.note_id not in whole]
    assert page.count("loses its place") == len(lost)
    assert "gains a place" not in page
    other_way = words(lotte.get("/plans/1/beside/2").text)
    assert other_way.count("gains a place") == len(lost)
    assert f"{len(plan.runs) - 1}" in page


def test_each_plan_leads_to_the_others_of_its_week(lotte: Asking):
    assert '/plans/2/beside/1"' in lotte.get("/plans/2").text
    assert '/plans/1/beside/2"' in lotte.get("/plans/2/beside/1").text


def test_over_http_it_bears_the_kitchens_offset(kitchen: Kitchen):
    found = kitchen.by["manager"].get("/api/v1/plans/2/beside/1").json()
    assert (found["week"], found["before"], found["after"]) == (WEEK, 1, 2)
    assert all(each["change"] in ("loses its place", "loses weight") for each in found["changes"])
    starts = [run["start"] for each in found["changes"] for run in each["before"]["runs"]]
    assert starts
    assert all(each.endswith("-04:00") for each in starts)
    assert found["costs_before"]["runs"] - found["costs_after"]["runs"] == 1
    assert kitchen.by["manager"].get("/api/v1/plans/2/beside/99").status_code == 404
