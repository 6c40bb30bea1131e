"""Whatever a plan holds, the verifier answers with faults and never with an error."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL, SIMPLE, SWITCHES, less
from scheduler.verify import Fault, verify
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan

Path = tuple[str | int, ...]
OPTIONAL = {"preparation", "after", "unload", "wash_down", "proof"}
END_OF_TIME = datetime.max.replace(tzinfo=UTC)


def paths(value: Any, path: Path = ()) -> Iterator[Path]:
    """The way to everything in a plan: fields by name, places in tuples by number."""
    yield path
    if is_dataclass(value):
        for each in fields(value):
            yield from paths(getattr(value, each.name), (*path, each.name))
    elif isinstance(value, tuple):
        for place, each in enumerate(value):
            yield from paths(each, (*path, place))


def found(value: Any, path: Path) -> Any:
    for step in path:
        value = value[step] if isinstance(step, int) else getattr(value, step)
    return value


def exchanged(value: Any, path: Path, new: Any) -> Any:
    if not path:
        return new
    step, *rest = path
    inner = exchanged(found(value, (step,)), tuple(rest), new)
    if isinstance(step, int):
        return (*value[:step], inner, *value[step + 1 :])
    return replace(value, **{step: inner})


def damaged(value: Any, draw: st.DrawFn) -> Any:
    """Something of the same kind that may make no sense."""
    if isinstance(value, datetime):
        if value == END_OF_TIME:
            return value
        moved = value + timedelta(seconds=draw(st.integers(-900_000, 900_000)))
        odd = draw(st.sampled_from([None, None, None, moved.replace(tzinfo=None), END_OF_TIME]))
        return odd or moved
    if isinstance(value, Span):
        return Span(value.end, value.start)
    if isinstance(value, bool | str):
        return draw(st.sampled_from(["", "?", "N1", "D1", "S1", "G1", "Jun"]))
    if isinstance(value, int | float):
        return draw(st.sampled_from([-1, 0, 1, 7, 10**9]))
    if isinstance(value, tuple):
        return draw(st.sampled_from([(), value[:1], (*value, *value)]))
    return value


PATHS = [path for path in paths(good_plan()) if path and path[0] != "week"]


@st.composite
def damaged_plans(draw: st.DrawFn) -> Plan:
    """The good plan with one to four things in it damaged or taken out."""
    plan = good_plan()
    for path in draw(st.lists(st.sampled_from(PATHS), min_size=1, max_size=4)):
        try:
            old = found(plan, path)
        except (AttributeError, IndexError):
            continue  # an earlier damage took it away
        none = path[-1] in OPTIONAL and draw(st.booleans())
        plan = exchanged(plan, path, None if none else damaged(old, draw))
    return plan


@settings(deadline=None)
@given(damaged_plans(), st.sampled_from([FULL, SIMPLE, *map(less, SWITCHES)]))
def test_a_damaged_plan_gives_faults_and_no_error(plan: Plan, rules: Any):
    faults = verify(good_asked(), plan, rules)
    assert all(isinstance(fault, Fault) and fault.message for fault in faults)


@pytest.mark.parametrize("name", ["cards", "growers", "notes"])
def test_a_plan_for_what_nobody_knows(name: str):
    without: dict[str, Any] = {name: ()}
    faults = verify(replace(good_asked(), **without), good_plan())
    assert {"cards": 6, "growers": 12, "notes": 4}[name] in {fault.rule for fault in faults}


def test_an_empty_plan_without_proof_holds():
    assert (
        verify(good_asked(), replace(good_plan(), runs=(), duties=(), waiting=(), proof=None)) == ()
    )


def test_a_kitchen_with_nothing_in_it():
    asked = good_asked()
    nothing: dict[str, Any] = dict.fromkeys(
        ("dryers", "steamers", "chill_tubs", "wash_lines", "tables", "benches", "hands", "groups"),
        (),
    )
    empty = replace(asked, kitchen=replace(asked.kitchen, staffed=(), **nothing))
    for rules in (FULL, SIMPLE):
        assert {fault.rule for fault in verify(empty, good_plan(), rules)} >= {2, 3, 11}


def test_two_runs_of_one_name():
    plan = good_plan()
    again = replace(plan, runs=(*plan.runs, plan.runs[-1]))
    assert "2 runs are called D2 Fri" in {fault.message for fault in verify(good_asked(), again)}
