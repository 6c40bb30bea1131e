"""The commands do what their help says, and what goes wrong is told on one line."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from scheduler import prepare
from scheduler.cli import app
from scheduler.domain.rules import SIMPLE
from scheduler.expand import expanded
from scheduler.plan_file import read_plan, write_plan
from scheduler.scenario import load
from scheduler.verify import Fault
from scheduler.whiteboard import whiteboard
from tests.fake_planning import FakePlanner
from tests.printed_plan import printed_plan
from tests.worked_day import worked_day

runner = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1"})


@pytest.fixture
def planner(monkeypatch: pytest.MonkeyPatch) -> FakePlanner:
    fake = FakePlanner(make=printed_plan)
    monkeypatch.setitem(sys.modules, "scheduler.planning", fake.module())
    return fake


@pytest.fixture
def plan_path(tmp_path: Path) -> Path:
    august = load("august")
    write_plan(tmp_path / "plan.json", worked_day(august), august)
    return tmp_path / "plan.json"


def test_lay_out_prints_the_week(planner: FakePlanner):
    result = runner.invoke(app, ["lay-out", "august"])
    assert result.exit_code == 0, result.output
    for words in (
        "Week on the racks: Corrowell Drying Kitchen",
        "24 of 26 notes",
        "5,909 of 11,592 rack-hours",
        "R25 chili, Saelfield, 25 kg",
    ):
        assert words in result.output
    assert max(map(len, result.output.splitlines())) <= 100


def test_lay_out_takes_its_limits(planner: FakePlanner):
    runner.invoke(app, ["lay-out", "august", "--work", "3", "--seed", "7", "--rules", "simple"])
    runner.invoke(app, ["lay-out", "august"])
    (_, rules, limits), (_, full, default) = planner.asked
    assert (rules, limits.seconds, limits.work, limits.seed) == ("simple", None, 3, 7)
    assert (full, default.seconds, default.work, default.seed) == ("full", 15, None, 1)


def test_lay_out_writes_plan_and_summary(planner: FakePlanner, tmp_path: Path):
    out = tmp_path / "new" / "folder"
    result = runner.invoke(app, ["lay-out", "august", "--out", str(out)])
    assert result.exit_code == 0, result.output
    assert read_plan(out / "plan.json").plan == printed_plan(load("august"))
    figures = json.loads((out / "summary.json").read_text())
    assert (figures["placed_notes"], figures["placed_field_kg"]) == (24, 1_380)
    assert (figures["first_plan_s"], figures["faults"]) == (0.4, 0)
    use = next(each for each in figures["fractions"] if each["name"] == "Rack use")
    assert (use["numerator"], use["denominator"]) == (5_909, 11_592)


def test_a_plan_that_breaks_a_rule_ends_with_one(planner: FakePlanner):
    planner.faults = (Fault(5, "D1 holds 21 of 20 racks"),)
    result = runner.invoke(app, ["lay-out", "august"])
    assert result.exit_code == 1
    assert "commonrack: rule 5, racks: D1 holds 21 of 20 racks" in result.stderr


def test_seconds_and_work_exclude_each_other(planner: FakePlanner):
    result = runner.invoke(app, ["lay-out", "august", "--work", "3", "--seconds", "3"])
    assert (result.exit_code, result.stderr) == (
        2,
        "commonrack: --work: give --seconds or --work, not both\n",
    )


def test_an_unknown_scenario_is_told_with_those_there_are(planner: FakePlanner):
    result = runner.invoke(app, ["lay-out", "augst"])
    assert result.exit_code == 2
    assert result.stderr.count("\n") == 1
    assert "august" in result.stderr


def test_check_accepts_the_printed_plan_under_its_rules(tmp_path: Path):
    august = load("august")
    write_plan(tmp_path / "plan.json", printed_plan(august), august)
    result = runner.invoke(app, ["check", "august", str(tmp_path / "plan.json")])
    assert result.exit_code == 0, result.stderr
    assert "keeps every rule (simple rules)" in result.stdout


def test_check_tells_each_broken_rule(plan_path: Path):
    result = runner.invoke(app, ["check", "august", str(plan_path)])
    assert result.exit_code == 1
    assert result.stderr.startswith("commonrack: rule ")


def test_check_wants_the_plans_own_week(plan_path: Path):
    result = runner.invoke(app, ["check", "glut", str(plan_path)])
    assert result.exit_code == 2
    assert "is a plan of 2026-W34, the scenario is of 2026-W37" in result.stderr


def test_a_missing_plan_is_told(tmp_path: Path):
    result = runner.invoke(app, ["check", "august", str(tmp_path / "plan.json")])
    assert (result.exit_code, result.stderr) == (2, "commonrack: plan.json: the file is missing\n")


@pytest.mark.parametrize("day", ["tuesday", "Tue", "2026-08-18"])
def test_sheet_of_a_day(plan_path: Path, day: str):
    result = runner.invoke(app, ["sheet", str(plan_path), day])
    assert result.exit_code == 0, result.stderr
    for words in (
        "Tuesday 18 August",
        "R09 tomato",
        "On call: Jun Ferrow, 555-0101",
        "Steam burns",
    ):
        assert words in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 100


def test_sheet_as_json_has_local_times(plan_path: Path):
    result = runner.invoke(app, ["sheet", str(plan_path), "tuesday", "--json"])
    sheet = json.loads(result.stdout)
    assert sheet["day"] == "2026-08-18"
    assert sheet["lines"][0]["at"] == "2026-08-18T07:00:00-04:00"


@pytest.mark.parametrize(
    ("day", "told"),
    [
        ("someday", "is no day; write it like 2026-08-17"),
        ("2026-09-18", "covers Monday 17 August to Monday 24 August"),
    ],
)
def test_sheet_of_no_day_is_told(plan_path: Path, day: str, told: str):
    result = runner.invoke(app, ["sheet", str(plan_path), day])
    assert result.exit_code == 2
    assert told in result.stderr


@pytest.mark.parametrize("command", ["lay-out", "check", "sheet"])
def test_help_has_an_example_and_the_exit_codes(command: str):
    result = runner.invoke(app, [command, "--help"])
    assert result.exit_code == 0
    assert f"commonrack {command}" in result.stdout
    assert "Exit codes: 0 fine" in result.stdout


def test_reading_commands_never_load_the_solver(plan_path: Path):
    program = (
        "import sys\n"
        "from scheduler.cli import app\n"
        f"app(['sheet', {str(plan_path)!r}, 'tuesday'], standalone_mode=False)\n"
        "assert 'ortools' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True, stdout=subprocess.DEVNULL)


def plan_by_hand(tmp_path: Path) -> Path:
    asked = load("dryer_down")
    before = replace(asked, happened=replace(asked.happened, outages=()))
    problem = prepare.problem(before, SIMPLE)
    write_plan(tmp_path / "hand.json", expanded(before, problem, whiteboard(problem)), before)
    return tmp_path / "hand.json"


def test_re_lay_tells_the_night_and_mends_the_plan(tmp_path: Path):
    out, hand = tmp_path / "mended", plan_by_hand(tmp_path)
    told = ["re-lay", "dryer_down", "--rules", "simple", "--seconds", "2", "--plan", str(hand)]
    result = runner.invoke(app, [*told, "--out", str(out)])
    assert result.exit_code == 0, result.output
    for words in (
        "D3 stopped Tue 22:10",
        "R09 A tomato, 20 racks: 10 h 55 min of 15 h dried",
        "1. Jun Ferrow 555-0101",
        "its clock then shows 1 h 50 min of 4 h",
        "The small change:",
    ):
        assert words in " ".join(result.output.split())
    figures = json.loads((out / "summary.json").read_text())
    assert set(figures) == {
        "later_notes",
        "later_notes_kept",
        "later_field_kg",
        "later_field_kg_kept",
        "turns_moved",
        "faults",
        "lay_open_s",
        "wall_s",
    }
    assert (figures["later_notes"], figures["later_field_kg"], figures["faults"]) == (18, 854, 0)
    assert figures["lay_open_s"] < figures["wall_s"]
    checked = runner.invoke(app, ["check", "dryer_down", str(out / "plan.json")])
    assert checked.exit_code == 0, checked.output


def test_re_lay_needs_a_scenario_in_which_something_has_happened(tmp_path: Path):
    result = runner.invoke(app, ["re-lay", "august"])
    assert result.exit_code == 2
    assert "it has no now" in result.output
