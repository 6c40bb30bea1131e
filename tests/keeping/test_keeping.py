"""What stays with a firm note, and what becomes of it, case by case."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from scheduler.answer import Answer, answered
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import Paper
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised, Taken
from scheduler.domain.rules import SIMPLE
from scheduler.expand import expanded
from scheduler.keeping import cannot_be_kept, keeping
from scheduler.keeping.papers import short_on_its_days
from scheduler.model.master import first_bound, most_there_is
from scheduler.planning import Limits, lay_out
from scheduler.prepare import problem
from scheduler.problem import NOTHING_FIRM, Problem
from scheduler.scenario import load
from scheduler.units import Grams
from scheduler.verify import verify
from scheduler.worth import worth
from tests import tiny
from tests.answer.posted import posted, without
from tests.tiny import Lot, Tiny

TWO = tiny.asked(
    Tiny(
        (Lot(3, 16, 40, "G1", drying=8), Lot(1, 19, 40, "G2", drying=4)),
        dryers=(4,),
        shift=24,
        tables=3,
    )
)
AUGUST = load("august")


def firm(asked: Asked, plan: Plan, *notes: str) -> Asked:
    return replace(asked, promised=Promised(plan, frozenset(notes)))


def kept(asked: Asked) -> Problem:
    return keeping(asked, problem(asked))


def names(week: Problem) -> set[str]:
    return {week.lots[lot].note_id for lot in week.firm.lots}


def in_one_run() -> Plan:
    plan = posted(TWO)
    (run,) = plan.runs
    assert [charge.note_id for charge in run.charges] == ["N0", "N1"]
    return plan


def test_a_pencilled_charge_stays_where_the_firm_one_alone_would_make_the_run_shorter():
    week = kept(firm(TWO, in_one_run(), "N1"))
    assert names(week) == {"N0", "N1"}
    assert names(kept(firm(TWO, in_one_run(), "N0"))) == {"N0"}


def test_the_run_ends_sooner_where_its_longest_charge_is_gone():
    plan = in_one_run()
    asked = firm(without(TWO, "N0"), plan, "N1")
    week = kept(asked)
    assert names(week) == {"N1"}
    assert week.firm.moved == ()
    made = expanded(asked, week, week.firm.draft)
    assert verify(asked, made) == ()
    (run,) = made.runs
    assert (run.start, run.id) == (plan.runs[0].start, plan.runs[0].id)
    assert run.end < plan.runs[0].end
    assert run.charges[0].first_rack == 1


def test_other_weights_cannot_be_kept():
    plan = in_one_run()
    notes = (replace(TWO.notes[0], field_g=Grams(7_000)), *TWO.notes[1:])
    asked = firm(replace(TWO, notes=notes), plan, "N0", "N1")
    (moved,) = cannot_be_kept(asked)
    assert moved.note_id == "N0"
    assert moved.reason
    assert expanded(asked, kept(asked), kept(asked).firm.draft).moved == (moved,)


def test_who_has_papers_short_is_pencilled_and_named_only_if_moved():
    plan, paper = in_one_run(), Paper("insurance", date(2020, 1, 1))
    growers = tuple(
        replace(each, papers=(paper,)) if each.id == "G1" else each for each in TWO.growers
    )
    asked = firm(replace(TWO, growers=growers), plan, "N0")
    week = kept(asked)
    (moved,) = week.firm.moved
    assert (moved.note_id, moved.rule) == ("N0", 15)
    assert moved.reason.startswith("Papers are short: insurance ended")
    assert week.firm.as_posted is not None
    assert expanded(asked, week, week.firm.as_posted).moved == ()


def test_of_two_that_are_in_each_others_way_the_first_in_turn_stays():
    """The only dryer is down when one may run: each run alone would do, both do not."""
    asked = tiny.asked(Tiny((Lot(2, 16, 30, "G1"), Lot(2, 60, 80, "G2")), (2,)))
    plan = posted(asked)
    first, then = sorted(plan.runs, key=lambda run: run.start)
    stopped = Outage("D0", then.start, None)
    asked = firm(replace(asked, happened=replace(asked.happened, outages=(stopped,))), plan)
    asked = firm(asked, plan, "N0", "N1")
    assert names(kept(asked)) == {first.charges[0].note_id}
    (moved,) = kept(asked).firm.moved
    assert (moved.note_id, moved.rule) == (then.charges[0].note_id, 11)


def test_nothing_is_firm_without_a_posted_plan_or_under_other_rules():
    assert kept(TWO).firm == NOTHING_FIRM
    asked = firm(TWO, in_one_run(), "N0")
    assert keeping(asked, problem(asked, SIMPLE)).firm == NOTHING_FIRM


def test_a_neighbours_hands_growers_and_benches_are_taken():
    plan = posted(TWO)
    _, charge = next(plan.charges())
    assert charge.after
    for who in ("P1", "G1", "D0"):
        busy = Taken(who, charge.after.packing, "packing R01")
        if who == "D0":
            busy = replace(busy, span=replace(busy.span, start=plan.runs[0].start))
        asked = replace(TWO, promised=Promised(taken=(busy,)))
        assert 18 in {fault.rule for fault in verify(asked, plan)}
        assert verify(asked, posted(asked)) == ()


def test_the_bound_holds_beside_what_is_firm():
    asked = firm(AUGUST, posted(AUGUST), *(note.id for note in AUGUST.notes[::2]))
    week = kept(asked)
    bound, loose = first_bound(week), first_bound(problem(AUGUST))
    assert week.firm.as_posted is not None
    assert worth(week, week.firm.as_posted) <= bound <= min(loose, most_there_is(week))


def test_a_week_is_laid_out_again_and_what_is_firm_stays():
    few = replace(AUGUST, notes=AUGUST.notes[:-6])
    plan = posted(few)
    some = [
        charge.note_id
        for _, charge in plan.charges()
        if not short_on_its_days(AUGUST, plan, charge.note_id)
    ]
    assert some
    asked = firm(AUGUST, plan, *some)
    limits = Limits(seconds=None, work=1, workers=1)
    found = lay_out(asked, limits=limits, explain_seconds=0)
    assert found.faults == ()
    assert found.plan.moved == ()
    assert found.plan.worth_g >= plan.worth_g
    assert found.plan.proof is not None
    assert found.plan.proof.bound_g >= found.plan.worth_g


def test_what_waits_of_a_firm_note_waits_on():
    asked = tiny.asked(Tiny((Lot(6, 16, 30, "G1"), Lot(1, 16, 32, "G2")), dryers=(4,), shift=24))
    plan = posted(asked)
    assert sum(charge.racks for _, charge in plan.charges() if charge.note_id == "N0") in range(
        1, 6
    )
    found = lay_out(firm(asked, plan, "N0"), limits=Limits(seconds=None, work=1, workers=1))
    assert found.faults == ()
    (waits,) = [each for each in found.plan.waiting if each.note_id == "N0"]
    assert (waits.rule, waits.reason) == (
        18,
        "What has a place of it is firm, and stays as it is (rule 18).",
    )


def test_a_posted_plan_with_firm_turns_answers_at_once():
    plan = posted(without(AUGUST, "R05"))
    asked = firm(without(AUGUST, "R05"), plan, *(charge.note_id for _, charge in plan.charges()))
    found = answered(asked, plan, AUGUST.note("R05"))
    if isinstance(found, Answer):
        assert verify(replace(asked, notes=AUGUST.notes), found.plan) == ()
