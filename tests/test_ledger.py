"""Turns and shares, reckoned again by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler import prepare
from scheduler.domain.clock import Week
from scheduler.domain.outage import Happened, StartedCharge, StartedRun
from scheduler.domain.plan import Plan
from scheduler.ledger import Record, in_turn, ledger, records
from scheduler.units import HOUR, Racks
from scheduler.whiteboard import filled
from scheduler.whiteboard.calendars import Calendars
from tests.answer.posted import posted
from tests.builders import at, grower, note
from tests.explain.weeks import FULL_DRYER_G, place, week
from tests.strategies import kitchens

W32, W33 = Week(2026, 32), Week(2026, 33)
A, B, C = (grower(name, shares=shares) for name, shares in (("A", 1), ("B", 4), ("C", 2)))


def order(*past: Record, growers=(A, B, C)) -> list[str]:
    return [line.grower_id for line in ledger(growers, past)]


def test_least_served_per_share_is_first():
    """A 100 rack-hours on 1 share, B 200 on 4, C 120 on 2: 100, 50 and 60 a share."""
    past = (
        Record(W32, "A", 100 * HOUR),
        Record(W32, "B", 150 * HOUR),
        Record(W33, "B", 50 * HOUR),
        Record(W33, "C", 120 * HOUR),
    )
    assert order(*past) == ["B", "C", "A"]
    assert [line.per_share for line in ledger((A, B, C), past)] == [
        Fraction(50),
        Fraction(60),
        Fraction(100),
    ]


def test_whoever_was_bumped_last_comes_first():
    served = (Record(W33, "B", 0), Record(W33, "C", 0))
    assert order(Record(W33, "A", 900 * HOUR, bumped=1), *served) == ["A", "B", "C"]
    before = Record(W32, "A", 900 * HOUR, bumped=1)
    assert order(before, Record(W33, "A", 0), *served) == ["B", "C", "A"]


def test_being_served_alike_the_more_refused_is_first_then_the_list():
    assert order(Record(W33, "C", 0, refused=1)) == ["C", "A", "B"]
    assert order() == ["A", "B", "C"]


def test_those_without_shares_fill_what_is_left():
    guest = grower("guest", shares=0)
    past = (Record(W33, "A", 500 * HOUR), Record(W33, "B", 9), Record(W33, "C", 9))
    assert order(*past, growers=(guest, A, B, C)) == ["B", "C", "A", "guest"]


def _two_for_one_dryer():
    """Two full dryers' worth of notes for one run on Monday; N1 was noted first."""
    monday = {"latest_start": at("Mon 12:00"), "may_split": False}
    return week(
        place(),
        note("N1", "A", "tomato", FULL_DRYER_G, **monday),
        note("N2", "B", "tomato", FULL_DRYER_G, **monday),
        growers=(A, B),
    )


def test_records_of_a_week():
    asked = _two_for_one_dryer()
    served, refused = records(asked, posted(asked))
    assert served == Record(asked.week, "A", 20 * 15 * HOUR)
    assert refused == Record(asked.week, "B", 0, refused=1)


def test_a_bump_is_a_posted_place_that_became_less():
    asked = _two_for_one_dryer()
    plan = posted(asked)
    other = posted(replace(asked, notes=asked.notes[::-1]))
    assert [record.bumped for record in records(asked, other, posted=plan)] == [1, 0]
    assert [record.bumped for record in records(asked, plan, posted=plan)] == [0, 0]


def test_a_run_that_started_is_served_not_bumped():
    asked = _two_for_one_dryer()
    plan = posted(asked)
    (run,) = plan.runs
    started = StartedRun("D1", 57.0, run.start, run.end, (StartedCharge("N1", Racks(20)),))
    later = replace(asked, happened=Happened(at("Mon 14:00"), (started,)))
    (record, _) = records(later, Plan(asked.week, "full", (), ()), posted=plan)
    assert record == Record(asked.week, "A", 20 * 15 * HOUR)


def test_notes_are_called_in_rounds():
    notes = [note(name, name[-1], "tomato", 9000) for name in ("1A", "2A", "3B", "4B", "5C")]
    asked = week(place(), *notes, growers=(A, B, C))
    lines = ledger((A, B, C), [Record(W33, "A", 5), Record(W33, "B", 3), Record(W33, "C", 1)])
    assert [line.grower_id for line in lines] == ["C", "B", "A"]
    assert [each.id for each in in_turn(asked, lines).notes] == ["5C", "3B", "1A", "4B", "2A"]


def test_the_whiteboard_serves_the_least_served_of_two_equal_notes():
    asked = _two_for_one_dryer()
    assert [charge.note_id for _, charge in posted(asked).charges()] == ["N1"]
    lines = ledger(asked.growers, [Record(W33, "A", 100 * HOUR)])
    fair = in_turn(asked, lines)
    assert [charge.note_id for _, charge in posted(fair).charges()] == ["N2"]
    assert posted(fair).worth_g == posted(asked).worth_g


@settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=25)
@given(kitchens(with_past=False), st.data())
def test_every_note_is_called_once(asked, data):
    past = [
        Record(W33, each.id, data.draw(st.integers(0, 10_000)), data.draw(st.integers(0, 2)))
        for each in asked.growers
    ]
    lines = ledger(asked.growers, past)
    called = [each.id for each in in_turn(asked, lines).notes]
    assert sorted(called) == sorted(each.id for each in asked.notes)


@settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=25)
@given(kitchens())
def test_every_rack_second_is_somebodys(asked):
    problem = prepare.problem(asked)
    plan = posted(asked)
    mine = sum(record.rack_s for record in records(asked, plan))
    planned = sum(
        charge.racks * int((run.end - run.start).total_seconds()) for run, charge in plan.charges()
    )
    assert mine >= planned
    assert mine == planned or asked.happened.runs
    assert filled(problem, Calendars(problem), []).runs == ()
