"""The bench: what it measures, with work for a limit so that nothing hangs on the clock."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from scheduler import bench
from scheduler.cli import app
from scheduler.domain.plan import Proof
from scheduler.planning import Limits
from scheduler.scenario import load
from scheduler.terminal.benches import bench_table, costs_table
from scheduler.units import Grams
from scheduler.verify import Fault
from scheduler.weeks import small_kitchen

LITTLE = Limits(seconds=None, work=1, seed=3, workers=1)
runner = CliRunner(env={"COLUMNS": "160", "NO_COLOR": "1"})


def outcome(worth_g: int, bound_g: int, *, board_g: int = 500, rules: str = "full"):
    proof = Proof(Grams(worth_g), Grams(bound_g), Grams(board_g))
    gaps = {5: 0.25, 10: 0.13}
    return bench.Outcome("week-7", rules, 7, 25, proof, (), 4, False, 1.25, 10.5, gaps)


def test_a_case_is_measured_whole():
    heard: list[str] = []
    (found,) = bench.run([load("spring_day")], LITTLE, lambda name, _: heard.append(name))
    assert found.faults == ()
    assert found.proof.worth_g == found.proof.bound_g == 95_450  # all four notes
    figures = bench.outcome_json(found)
    assert (figures["case"], figures["notes"], figures["gap"]) == ("spring_day", 4, 0.0)
    assert set(heard) == {"spring_day"}


def test_the_same_work_gives_the_same_figures():
    first, second = (
        [bench.outcome_json(each) for each in bench.run([small_kitchen(4)], LITTLE)]
        for _ in range(2)
    )
    for figures in (*first, *second):
        assert set(figures.pop("timed")) == {"first_plan_s", "wall_s", "gaps"}
    assert first == second


def test_gaps_are_those_last_heard_of():
    heard = [(0.1, 0.5), (4.9, 0.3), (5.1, 0.2), (12.0, 0.1)]
    assert bench.gaps_at(heard, 30) == {5: 0.3, 10: 0.2, 30: 0.1}
    assert bench.gaps_at(heard, 8) == {5: 0.3}
    assert bench.gaps_at([(7.0, 0.3)], 30) == {10: 0.3, 30: 0.3}


def test_a_suite_names_its_seeds():
    cases = list(bench.suite(["august"], weeks=2, peaks=1, seed=7))
    assert [asked.name for asked in cases] == ["august", "week-7", "week-8", "peak-7"]
    assert [len(asked.kitchen.dryers) for asked in cases] == [4, 5, 5, 8]
    assert [len(asked.notes) for asked in cases] == [26, 25, 25, 60]


def test_worth_over_the_whiteboard():
    assert outcome(600, 800).over_whiteboard == pytest.approx(1.2)
    assert outcome(600, 800, board_g=0).over_whiteboard is None


@pytest.mark.parametrize(
    ("without", "gained", "least", "most"),
    [((950, 990), 350, 150, 390), ((700, 1000), 100, 0, 400), ((550, 900), -50, 0, 300)],
)
def test_what_a_rule_costs_lies_between_proofs(without, gained, least, most):
    cost = bench.RuleCost(outcome(600, 800), outcome(*without, rules="without hands"))
    assert (cost.gained_g, cost.least_g, cost.most_g) == (gained, least, most)


def test_each_rule_is_left_out_in_turn():
    costs = list(bench.rule_costs(small_kitchen(0), LITTLE))
    assert [cost.without.rules for cost in costs] == [
        "without hands",
        "without tables",
        "without steamers",
        "without waits",
        "without power",
        "without wash downs",
    ]
    assert len({id(cost.full) for cost in costs}) == 1
    assert all(not cost.full.faults and not cost.without.faults for cost in costs)
    assert all(cost.least_g <= cost.most_g for cost in costs)
    assert [each["rules"] for each in bench.costs_json(costs)][:2] == ["full", "without hands"]


def test_tables_have_a_line_each():
    late = replace(outcome(600, 800), gaps={5: 0.5})
    table = bench_table([outcome(600, 800), late])
    assert [column.header for column in table.columns][5:8] == ["gap 5 s", "10 s", "end"]
    assert list(table.columns[6].cells) == ["13 %", ""]
    cost = bench.RuleCost(outcome(600, 800), outcome(950, 990, rules="without hands"))
    rules = costs_table([cost, cost]).columns[0]
    assert list(rules.cells) == ["full", "without hands", "without hands"]
    assert costs_table([]).row_count == 0


def test_the_command_prints_and_writes(tmp_path: Path):
    path = tmp_path / "bench.json"
    given = ["--scenarios", "spring_day", "--weeks", "0", "--peaks", "0", "--work", "1"]
    result = runner.invoke(app, ["bench", *given, "--seed", "3", "--json", str(path)])
    assert result.exit_code == 0, result.output
    (line,) = [line for line in result.stdout.splitlines() if line.startswith("spring_day")]
    assert line.split()[1:2] + line.split()[3:5] == ["4", "95", "95"]
    (figures,) = json.loads(path.read_text())
    assert (figures["seed"], figures["worth_kg"], figures["faults"]) == (3, 95.45, [])


def test_a_broken_rule_ends_with_one(monkeypatch: pytest.MonkeyPatch):
    broken = replace(outcome(600, 800), faults=(Fault(5, "D1 holds 21 of 20 racks"),))
    monkeypatch.setattr(bench, "measured", lambda *_: broken)
    result = runner.invoke(app, ["bench", "--scenarios", "spring_day", "--weeks", "0"])
    assert result.exit_code == 1
    assert "commonrack: rule 5, racks: D1 holds 21 of 20 racks" in result.stderr


def test_what_cannot_be_measured_is_told_before_anything_is(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.delattr(bench, "measured")
    for given in (["--scenarios", "august,augst"], ["--seconds", "5", "--work", "2"]):
        assert runner.invoke(app, ["bench", *given]).exit_code == 2
