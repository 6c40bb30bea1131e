"""Two plans side by side: who moves, who gains or loses a place, what it costs."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from scheduler.comparing import compared
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.outage import Happened, StartedCharge, StartedRun
from scheduler.domain.plan import Plan, Run
from tests.builders import at
from tests.verify.changes import with_after, with_run
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan

ASKED, PLAN = good_asked(), good_plan()


def without(plan: Plan, note_id: str) -> Plan:
    """Its charges are gone, and the runs that held nothing else."""

    def less(run: Run) -> Run:
        return replace(run, charges=tuple(c for c in run.charges if c.note_id != note_id))

    runs = (less(run) for run in plan.runs)
    return replace(plan, runs=tuple(run for run in runs if run.charges))


def test_a_plan_beside_itself_differs_nowhere():
    found = compared((ASKED, PLAN), (ASKED, PLAN))
    assert found.changes == ()
    assert found.same == len(ASKED.notes)
    assert found.before == found.after


def test_who_loses_a_place_gains_it_the_other_way_round():
    less = without(PLAN, "N6")
    (lost,) = compared((ASKED, PLAN), (ASKED, less)).changes
    (gained,) = compared((ASKED, less), (ASKED, PLAN)).changes
    assert (lost.note_id, lost.kind) == ("N6", "loses its place")
    assert (gained.note_id, gained.kind) == ("N6", "gains a place")
    assert (lost.before, lost.after) == (gained.after, gained.before)
    assert lost.after.runs == ()


def test_what_it_costs():
    run = next(run for run, charge in PLAN.charges() if charge.note_id == "N6")
    (charge,) = run.charges
    found = compared((ASKED, without(PLAN, "N6")), (ASKED, PLAN))
    before, after = found.before, found.after
    assert after.worth_g - before.worth_g == charge.prepared_g
    assert after.dryer_s - before.dryer_s == Span(run.start, run.end).seconds
    assert (after.runs - before.runs, after.placed - before.placed) == (1, 1)
    assert after.nights - before.nights == 1
    assert after.fees > before.fees


def test_nights_are_counted_with_a_run_that_is_held_until_opening():
    assert compared((ASKED, PLAN), (ASKED, PLAN)).after.nights == 4


def test_a_run_at_another_time_moves_its_lots():
    run = next(run for run, charge in PLAN.charges() if charge.note_id == "N6")
    later = with_run(PLAN, run.id, start=run.start + timedelta(minutes=5))
    (moved,) = compared((ASKED, PLAN), (ASKED, later)).changes
    assert (moved.note_id, moved.kind) == ("N6", "moves")
    assert moved.after.runs == (("D2", run.start + timedelta(minutes=5)),)


def test_another_packing_turn_is_a_move():
    other = with_after(PLAN, "N6", packing=Span(at("Next 10:00"), at("Next 10:30")))
    (moved,) = compared((ASKED, PLAN), (ASKED, other)).changes
    assert moved.kind == "moves"
    assert moved.before.runs == moved.after.runs
    packing = [span.start for kind, span in moved.after.turns if kind == "packing"]
    assert packing == [at("Next 10:00")]


def test_a_charge_less_is_less_weight():
    last = max((r for r, c in PLAN.charges() if c.note_id == "N2"), key=lambda run: run.start)
    runs = tuple(
        replace(run, charges=tuple(c for c in run.charges if c.note_id != "N2"))
        if run.id == last.id
        else run
        for run in PLAN.runs
    )
    (change,) = compared((ASKED, PLAN), (ASKED, replace(PLAN, runs=runs))).changes
    assert (change.note_id, change.kind) == ("N2", "loses weight")


def test_a_note_of_one_plan_alone_is_told():
    fewer = replace(ASKED, notes=tuple(each for each in ASKED.notes if each.id != "N6"))
    (gone,) = compared((ASKED, PLAN), (fewer, without(PLAN, "N6"))).changes
    assert (gone.note_id, gone.kind) == ("N6", "loses its place")


def under_way(note_id: str) -> tuple[Asked, Plan]:
    """The week once the first run with that note has started, and a plan made without what is in
    it."""
    run = next(run for run, charge in PLAN.charges() if charge.note_id == note_id)
    held = tuple(StartedCharge(each.note_id, each.racks) for each in run.charges)
    started = StartedRun(run.dryer_id, run.set_point_c, run.start, run.end, held)
    less = PLAN
    for each in held:
        less = without(less, each.note_id)
    return replace(ASKED, happened=Happened(run.start, (started,))), less


def test_a_lot_in_a_run_that_has_started_keeps_its_place():
    later = under_way("N6")
    for pair in (((ASKED, PLAN), later), (later, (ASKED, PLAN))):
        found = compared(*pair)
        assert found.changes == ()
        assert found.before == found.after


def test_a_run_that_neither_plan_placed_counts_as_it_is_on_record():
    later = under_way("N6")
    before = without(PLAN, "N6")
    (change,) = compared((ASKED, before), later).changes
    assert (change.note_id, change.kind) == ("N6", "gains a place")
    assert change.after.placed_g == ASKED.note("N6").field_g
    both = compared(later, later)
    assert (both.changes, both.before) == ((), both.after)
    assert both.before.placed == compared((ASKED, PLAN), (ASKED, PLAN)).before.placed


def test_a_waiting_lot_still_loses_its_place_while_another_is_under_way():
    asked, plan = under_way("N6")
    (lost,) = compared((ASKED, PLAN), (asked, without(plan, "N2"))).changes
    assert (lost.note_id, lost.kind) == ("N2", "loses its place")
