"""The bench: what it measures, with work for a limit so that nothing hangs on the clock."""

from scheduler import bench
from scheduler.planning import Limits
from scheduler.scenario import load

LITTLE = Limits(seconds=None, work=1, seed=3, workers=1)


def test_a_case_is_measured_whole() -> None:
    (outcome,) = bench.run([load("spring_day")], LITTLE)
    assert outcome.faults == ()
    assert outcome.proof.worth_g == outcome.proof.bound_g == 95_450  # all four notes
    figures = bench.outcome_json(outcome)
    assert (figures["case"], figures["notes"], figures["gap"]) == ("spring_day", 4, 0.0)


def test_gaps_are_those_last_heard_of() -> None:
    heard = [(0.1, 0.5), (4.9, 0.3), (5.1, 0.2), (12.0, 0.1)]
    assert bench.gaps_at(heard, 30) == {5: 0.3, 10: 0.2, 30: 0.1}
    assert bench.gaps_at(heard, 8) == {5: 0.3}


def test_a_suite_names_its_seeds() -> None:
    names = [asked.name for asked in bench.suite(["august"], weeks=2, peaks=1, seed=7)]
    assert names == ["august", "week-7", "week-8", "peak-7"]
