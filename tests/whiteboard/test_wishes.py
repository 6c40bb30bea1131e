"""Wishes case by case in a tiny kitchen: where a lot may stand, and who comes first."""

from __future__ import annotations

from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.wish import Wish
from scheduler.expand import expanded
from scheduler.keeping import keeping
from scheduler.model.master import first_bound
from scheduler.prepare import problem
from scheduler.verify import verify
from tests import tiny
from tests.answer.posted import posted
from tests.tiny import DAY, Lot, Tiny

TUESDAY = Span(tiny.instant(DAY), tiny.instant(2 * DAY))
TOGETHER = tiny.asked(
    Tiny(
        (Lot(3, 16, 90, "G1", drying=8), Lot(1, 19, 90, "G2", drying=4)),
        dryers=(4, 4),
        shift=24,
        tables=3,
    )
)
CROWDED = tiny.asked(
    Tiny(
        (Lot(3, 16, 30, "G1", splits=False), Lot(3, 16, 30, "G2", splits=False)),
        dryers=(4,),
        shift=24,
        tables=3,
    )
)


def wished(asked: Asked, *wishes: Wish) -> Asked:
    return replace(asked, wishes=wishes)


def stands(plan: Plan, note_id: str) -> list[str]:
    return [run.dryer_id for run, charge in plan.charges() if charge.note_id == note_id]


def test_a_forbidden_run_is_not_joined_though_it_has_room():
    plan = posted(TOGETHER)
    (run,) = plan.runs
    assert len(run.charges) == 2
    there = Span(run.start, tiny.instant(2 * DAY))
    week = wished(TOGETHER, Wish(1, "forbid", "N1", run.dryer_id, there))
    made = posted(week)
    assert verify(week, made) == ()
    assert stands(made, "N1") == ["D1"]
    assert made.waiting == ()
    assert made.unkept == ()


def test_a_lot_goes_to_the_day_and_the_dryer_that_it_is_pinned_to():
    week = wished(TOGETHER, Wish(1, "pin", "N0", "D1", TUESDAY))
    made = posted(week)
    (run,) = [run for run, charge in made.charges() if charge.note_id == "N0"]
    assert run.dryer_id == "D1"
    assert TUESDAY.holds(run.start)
    assert verify(week, made) == ()


def test_who_is_pinned_is_placed_before_who_was_called_first():
    assert [each.note_id for each in posted(CROWDED).waiting] == ["N1"]
    week = wished(CROWDED, Wish(1, "pin", "N1", "D0"))
    made = posted(week)
    assert [each.note_id for each in made.waiting] == ["N0"]
    assert made.unkept == ()


def test_a_pin_that_leaves_no_place_is_named_and_fails_nothing():
    late = Span(tiny.instant(60), tiny.instant(61))
    week = wished(CROWDED, Wish(7, "pin", "N0", "D0", late))
    made = posted(week)
    assert verify(week, made) == ()
    assert [each.wish for each in made.unkept] == [7]
    assert stands(made, "N0") == []
    assert stands(made, "N1") == ["D0"]


def test_a_dryer_left_free_has_no_run():
    week = wished(TOGETHER, Wish(1, "leave free", "", "D0", Span(tiny.instant(0), TUESDAY.end)))
    made = posted(week)
    assert {run.dryer_id for run in made.runs} == {"D1"}
    assert verify(week, made) == ()


def test_of_like_dryers_the_bound_knows_the_one_a_lot_is_pinned_to():
    week = wished(TOGETHER, Wish(1, "pin", "N0", "D1"))
    asked_for = problem(week)
    assert first_bound(asked_for) >= posted(week).worth_g == posted(TOGETHER).worth_g


def test_what_is_pencilled_in_a_firm_run_leaves_it_when_it_is_forbidden():
    plan = posted(TOGETHER)
    (run,) = plan.runs
    there = Wish(1, "forbid", "N1", run.dryer_id, Span(run.start, tiny.instant(2 * DAY)))
    week = replace(wished(TOGETHER, there), promised=Promised(plan, frozenset({"N0"})))
    kept = keeping(week, problem(week))
    assert kept.firm.as_posted is not None
    made = expanded(week, kept, kept.firm.as_posted)
    assert stands(made, "N1") == []
    assert verify(week, made) == ()
