"""Wishes judged beforehand by hand, and what letting go of one would place."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.rules import FULL
from scheduler.domain.wish import Wish
from scheduler.expand import expanded
from scheduler.explain import Patience, explained
from scheduler.prepare import problem
from scheduler.problem import Draft
from scheduler.reasons.judged import judged
from scheduler.reasons.wished import place
from tests.answer.posted import nothing, posted
from tests.builders import span
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan
from tests.whiteboard.test_wishes import CROWDED, TOGETHER

MONDAY, TUESDAY = span("Mon 00:00", "Tue 00:00"), span("Tue 00:00", "Wed 00:00")
NIGHT = span("Mon 02:00", "Mon 02:05")


def firm(asked: Asked, plan: Plan, *notes: str) -> Asked:
    return replace(asked, promised=Promised(plan, frozenset(notes)))


@pytest.mark.parametrize(
    ("wish", "rule"),
    [
        (Wish(0, "pin", "N0", span=span("Wed 08:00", "Wed 08:05")), 4),
        (Wish(0, "pin", "N0", span=NIGHT), 4),
        (Wish(0, "pin", "N0", span=span("Tue 02:00", "02:05")), 2),
        (Wish(0, "pin", "N0", "D0", span("Mon 08:00", "08:05")), 4),
    ],
    ids=("after its latest start", "before it arrives", "by night", "before it can be ready"),
)
def test_a_pin_against_a_rule_is_told_with_the_rule(wish: Wish, rule: int):
    told = judged(TOGETHER, posted(TOGETHER), wish)
    assert (told.verdict, told.rule) == ("breaks a rule", rule), told


def test_a_dryer_that_refuses_the_group_is_told():
    week = good_asked()
    dryers = tuple(replace(each, groups=frozenset({"strong"})) for each in week.kitchen.dryers)
    week = replace(week, kitchen=replace(week.kitchen, dryers=dryers))
    told = judged(week, None, Wish(0, "pin", "N6", "D2"))
    assert (told.verdict, told.rule) == ("breaks a rule", 6)


def test_a_pin_beside_all_that_is_planned_fits():
    told = judged(TOGETHER, posted(TOGETHER), Wish(0, "pin", "N0", "D1", TUESDAY))
    assert (told.verdict, told.rule) == ("fits", None)


def test_a_pin_that_needs_what_another_has_moves_others():
    told = judged(CROWDED, posted(CROWDED), Wish(0, "pin", "N1", "D0"))
    assert told.verdict == "moves others"
    assert told.rule is not None


def test_without_a_plan_an_empty_week_is_judged():
    assert judged(CROWDED, None, Wish(0, "pin", "N1", "D0")).verdict == "fits"
    assert judged(CROWDED, nothing(CROWDED), Wish(0, "forbid", "N1", "D0")).rule == 6


def test_what_is_firm_elsewhere_is_told_by_rule_18():
    week = firm(good_asked(), good_plan(), "N1")
    told = judged(week, good_plan(), Wish(0, "pin", "N1", "D2"))
    assert (told.verdict, told.rule) == ("breaks a rule", 18)
    assert judged(week, good_plan(), Wish(0, "pin", "N1", "D1", MONDAY)).verdict == "fits"
    assert judged(week, good_plan(), Wish(0, "forbid", "N1", "D1", MONDAY)).rule == 18
    assert judged(week, good_plan(), Wish(0, "forbid", "N1", "D2", MONDAY)).verdict == "fits"


def test_what_is_firm_is_told_of_the_posted_plan_not_of_the_one_laid_out_last():
    week, other = firm(good_asked(), good_plan(), "N1"), replace(good_plan(), runs=())
    assert judged(week, other, Wish(0, "forbid", "N1", "D1", MONDAY)).rule == 18
    assert judged(week, other, Wish(0, "leave free", "", "D1", MONDAY)).rule == 18


def test_leaving_a_dryer_free_tells_who_would_have_to_go():
    free = Wish(0, "leave free", "", "D1", MONDAY)
    told = judged(good_asked(), good_plan(), free)
    assert (told.verdict, told.sentence) == (
        "moves others",
        "N1 would have to go elsewhere, or wait.",
    )
    assert judged(firm(good_asked(), good_plan(), "N1"), good_plan(), free).rule == 18
    early = replace(free, span=span("Mon 05:00", "07:00"))
    assert judged(good_asked(), good_plan(), early).verdict == "fits"


def test_a_remedy_of_what_is_pinned_is_to_let_go_of_the_pin_and_is_proved():
    late = Span(TUESDAY.start, TUESDAY.end)
    week = replace(CROWDED, wishes=(Wish(7, "pin", "N0", "D0", late),))
    asked_for = problem(week)
    plan = expanded(week, asked_for, Draft())
    alone = replace(plan, waiting=tuple(each for each in plan.waiting if each.note_id == "N0"))
    told = explained(week, FULL, alone, Draft(), patience=Patience(0.5))
    (waiting,) = told.waiting
    assert waiting.reason.startswith("It is pinned to Cabinet D0, Tuesday 18 August. ")
    assert waiting.remedy.endswith("if it were free of what is pinned or forbidden of it by hand.")
    assert waiting.proved


def test_places_in_words():
    kitchen = good_asked().kitchen
    assert place(kitchen, Wish(0, "pin", "N1", "D2", TUESDAY)) == "Cabinet D2, Tuesday 18 August"
    run = span("Tue 11:50", "11:55")
    assert place(kitchen, Wish(0, "pin", "N1", "", run)) == "the run at Tue 18 Aug 11:50"
    free = Wish(0, "leave free", "", "D1", span("Tue 11:00", "15:00"))
    assert place(kitchen, free) == "Cabinet D1, Tue 18 Aug 11:00 to Tue 18 Aug 15:00"
