"""A plan shaken: it holds where nothing is other than planned, and gives way where it must."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from statistics import mean

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from scheduler import prepare
from scheduler.cli import app
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.expand import expanded
from scheduler.plan_file import write_plan
from scheduler.process.drying import Range
from scheduler.scenario import load
from scheduler.shake import SPREAD, Spread, shaken
from scheduler.shake.replay import Kind
from scheduler.shake.spread import drawn
from scheduler.shake.staffed import Staffed
from scheduler.units import HOUR, Seconds
from scheduler.weeks import small_kitchen
from scheduler.whiteboard import whiteboard

AS_PLANNED = Range(1.0, 1.0, 1.0)
STILL = Spread(AS_PLANNED, AS_PLANNED, Seconds(0), 0.0, Seconds(0))
runner = CliRunner(env={"COLUMNS": "160", "NO_COLOR": "1"})


def planned(asked: Asked) -> tuple[Asked, Plan]:
    problem = prepare.problem(asked)
    return asked, expanded(asked, problem, whiteboard(problem))


AUGUST, PLAN = planned(load("august"))


def held(spread: Spread, kind: Kind, *, times: int = 200) -> float:
    """The mean share of turns of that kind that hold."""
    found = shaken(AUGUST, PLAN, spread=spread, times=times)
    return mean(turn.holds for turn in found.turns if turn.kind == kind)


@pytest.mark.parametrize("seed", range(6))
def test_where_all_is_as_planned_every_turn_holds(seed: int):
    found = shaken(*planned(small_kitchen(seed)), spread=STILL, times=3)
    assert {turn.holds for turn in found.turns} <= {1.0}
    assert {turn.past_keeping for turn in found.turns} <= {0.0}


def test_where_august_is_as_planned_every_turn_holds():
    found = shaken(AUGUST, PLAN, spread=STILL, times=3)
    assert {turn.holds for turn in found.turns} == {1.0}
    assert found.holding == len(found.turns) == 2 * len(list(PLAN.charges()))
    assert [turn.at for turn in found.turns] == sorted(turn.at for turn in found.turns)


def test_slow_drying_costs_packing_turns_and_what_comes_after():
    slow = replace(STILL, drying=Range(1.6, 1.6, 1.6))
    assert held(slow, "packing", times=2) < 1
    assert held(slow, "bringing", times=2) < 1


def test_quick_drying_costs_nothing():
    assert held(replace(STILL, drying=Range(0.7, 0.7, 0.7)), "packing", times=2) == 1


def test_late_lots_and_heavy_ones_and_stops_cost_turns():
    late = replace(STILL, late_s=Seconds(12 * HOUR))
    heavy = replace(STILL, weight=Range(2.0, 2.0, 2.0))
    stops = replace(STILL, stop_chance=1.0, stop_s=Seconds(48 * HOUR))
    assert held(late, "bringing") < 1
    assert held(heavy, "bringing", times=2) < 1
    assert held(stops, "packing") < 1


def test_the_same_seed_gives_the_same_figures():
    first, second = (shaken(AUGUST, PLAN, times=50, seed=4) for _ in range(2))
    assert first == second
    assert first != shaken(AUGUST, PLAN, times=50, seed=5)


def test_a_buffer_is_worth_what_it_keeps():
    """Drying a tenth longer than planned: the runs after a run are late, and with an hour more
    before the right one they are not."""
    slow = replace(STILL, drying=Range(1.1, 1.1, 1.1))
    found = shaken(AUGUST, PLAN, spread=slow, times=2)
    assert len(found.buffers) == len(PLAN.runs)
    assert found.buffers[0].turns >= 1
    assert [b.turns for b in found.buffers] == sorted(
        (b.turns for b in found.buffers), reverse=True
    )
    still = shaken(AUGUST, PLAN, spread=STILL, times=2)
    assert max(b.turns for b in still.buffers) == 0


def test_a_run_past_the_latest_start_is_told():
    """A plan in which nothing may wait: every note's latest start is its run's."""
    starts = {charge.note_id: run.start for run, charge in PLAN.charges()}
    notes = tuple(replace(n, latest_start=starts.get(n.id, n.latest_start)) for n in AUGUST.notes)
    late = replace(STILL, late_s=Seconds(12 * HOUR))
    found = shaken(replace(AUGUST, notes=notes), PLAN, spread=late, times=50)
    assert any(turn.past_keeping > 0 for turn in found.turns)
    assert all(t.holds <= 1 - t.past_keeping for t in found.turns if t.kind == "bringing")


def test_an_empty_plan_has_nothing_to_tell():
    found = shaken(AUGUST, replace(PLAN, runs=()), times=3)
    assert (found.turns, found.buffers, found.holding) == ((), (), 0)


def test_draws_lie_in_their_range_around_what_is_likely():
    draws = drawn(np.random.default_rng(1), SPREAD.drying, 4000)
    assert SPREAD.drying.low <= draws.min() < 0.78
    assert 1.22 < draws.max() <= SPREAD.drying.high
    assert draws.mean() == pytest.approx(1.0, abs=0.01)


def test_the_spread_names_its_sources():
    assert len(SPREAD.sources) == 4
    assert all(": " in source for source in SPREAD.sources)
    assert SPREAD.sources[0].startswith("drying hours times 0.73 to 1.27: green beans")


SPANS = [(0.0, 100.0), (150.0, 250.0), (400.0, 500.0)]
STAFFED = Staffed(SPANS)


@settings(max_examples=100, deadline=None)
@given(st.integers(min_value=0, max_value=480), st.integers(min_value=1, max_value=40))
def test_staffed_time_is_counted_second_by_second(at: int, seconds: int):
    now = np.array([float(at)])
    open_at = [any(a <= t < b for a, b in SPANS) for t in range(600)]
    assert STAFFED.time(now)[0] == sum(open_at[:at])
    assert STAFFED.next_open(now)[0] == next(t for t in range(at, 600) if open_at[t])
    room = next((t for t in range(at, 600) if all(open_at[t : t + seconds])), None)
    if room is not None:
        assert STAFFED.room(now, float(seconds))[0] == room
    back = STAFFED.instant(STAFFED.time(now))[0]
    assert STAFFED.time(np.array([back]))[0] == sum(open_at[:at])
    assert back <= at or not open_at[at]


def test_the_command_tells_and_writes(tmp_path: Path):
    plan, out = tmp_path / "plan.json", tmp_path / "shaken.json"
    write_plan(plan, PLAN, AUGUST)
    result = runner.invoke(app, ["shake", str(plan), "--times", "20", "--json", str(out)])
    assert result.exit_code == 0, result.output
    assert "turns hold on average of 20 replays, at most 30 min late." in result.stdout
    assert "An hour more before the" in result.stdout
    assert "says nothing of food safety" in result.stdout
    figures = json.loads(out.read_text())
    assert (figures["times"], len(figures["turns"])) == (20, 2 * len(list(PLAN.charges())))
    assert figures["sources"] == list(SPREAD.sources)


def test_no_plan_no_shake(tmp_path: Path):
    assert runner.invoke(app, ["shake", str(tmp_path / "plan.json")]).exit_code == 2


def test_turns_are_at_their_own_times():
    found = shaken(AUGUST, PLAN, spread=STILL, times=1)
    first = found.turns[0]
    assert first.kind == "bringing"
    charges = [c for _, c in PLAN.charges() if c.code == first.code and c.preparation]
    assert first.at in {c.preparation.wash.start for c in charges if c.preparation}
    assert found.turns[-1].at - first.at < timedelta(days=9)
