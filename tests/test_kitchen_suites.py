"""The kitchen's own suites: what is laid out, what is mended, and the medians."""

from __future__ import annotations

from dataclasses import replace

import pytest
from typer.testing import CliRunner

from scheduler import kitchen_suites
from scheduler.bench import Outcome
from scheduler.cli import app
from scheduler.domain.plan import Proof
from scheduler.kitchen_suites import KitchenSuite, Mended, cases
from scheduler.planning import Limits, lay_out
from scheduler.terminal.benches import medians_line, mends_table
from scheduler.units import Grams
from scheduler.weeks import small_kitchen

LITTLE = Limits(seconds=None, work=1, seed=3, workers=1)
runner = CliRunner(env={"COLUMNS": "160", "NO_COLOR": "1"})


def outcome(worth_g: int, *, first_s: float, gaps: dict[int, float]) -> Outcome:
    proof = Proof(Grams(worth_g), Grams(1000), Grams(500))
    return Outcome("week-7", "full", 7, 25, proof, (), 4, False, first_s, 10.5, gaps)


MENDED = Mended("week-1", 90.0, 95.0, 0.5, 98.0, 100.0, 4, 1, 9.0, ())


@pytest.mark.parametrize(
    ("suite", "name", "notes", "dryers"),
    [("weeks", "week-4", 25, 5), ("peak", "peak-4", 60, 8), ("relay", "week-4", 25, 5)],
)
def test_a_suite_is_five_seeds(suite: str, name: str, notes: int, dryers: int):
    asked = cases(KitchenSuite(suite), 4)
    assert (len(asked), asked[0].name, len(asked[0].notes)) == (5, name, notes)
    assert {len(each.kitchen.dryers) for each in asked} == {dryers}


def test_a_day_is_the_fullest_of_its_week():
    (first, *_), (week, *_) = cases(KitchenSuite.DAY, 1), cases(KitchenSuite.WEEKS, 1)
    (day,) = {note.arrives.date() for note in first.notes}
    counts = [note.arrives.date() for note in week.notes]
    assert len(first.notes) == counts.count(day) == max(map(counts.count, counts))


def test_medians_are_of_what_all_reached():
    outcomes = [
        outcome(900, first_s=1.0, gaps={5: 0.3, 10: 0.2}),
        outcome(1000, first_s=3.0, gaps={5: 0.1}),
        outcome(990, first_s=2.0, gaps={5: 0.2, 10: 0.1}),
    ]
    found = kitchen_suites.medians(outcomes)
    assert (found["seeds"], found["first_plan_s"], found["gaps"]) == (3, 2.0, {"5": 0.2})
    assert (found["proven"], found["gap"], found["largest_gap"]) == (
        1,
        pytest.approx(0.01, abs=1e-3),
        pytest.approx(0.1, abs=2e-2),
    )
    assert medians_line(found).startswith("Medians: seeds 3, first plan s 2, gaps 5 0.2, gap")


def test_a_stop_is_mended_and_measured():
    asked = small_kitchen(4)
    found = kitchen_suites.mended(asked, LITTLE)
    assert found.faults == ()
    assert 0 <= found.drop_only_kg <= found.proposed_kg
    assert found.avoidable <= found.moved
    assert kitchen_suites.mended_json(found)["below_afresh"] == found.below_afresh


def test_the_stop_meets_a_run_under_way():
    asked = small_kitchen(4)
    plan = lay_out(asked, limits=LITTLE, explain_seconds=0).plan
    met, now = kitchen_suites.stopped(asked, plan)
    (stop,) = met.happened.outages
    assert any(r.dryer_id == stop.station_id and r.start < now < r.end for r in plan.runs)
    assert met.promised.firm == {charge.note_id for _, charge in plan.charges()}


def test_mends_have_medians_and_a_table():
    other = replace(MENDED, proposed_kg=90.0, avoidable=3)
    assert MENDED.below_afresh == pytest.approx(0.02)
    found = kitchen_suites.mend_medians([MENDED, other, MENDED])
    assert (found["better_than_drop_only"], found["avoidable"]) == (2, 1)
    assert found["below_afresh"] == pytest.approx(0.02)
    assert list(mends_table([MENDED]).columns[6].cells) == ["2 %"]


def test_the_command_takes_a_suite_of_the_kitchen(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(kitchen_suites, "cases", lambda *_: (small_kitchen(4),))
    for suite in ("weeks", "relay"):
        result = runner.invoke(app, ["bench", "--suite", suite, "--work", "1", "--workers", "1"])
        assert result.exit_code == 0, result.output
        assert "Medians: seeds 1" in result.stdout
