"""Laws of every answer, in random small kitchens that are asked for more than they hold."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.answer import Answer, answered
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.rules import FULL, SIMPLE, SWITCHES, TITLES, RuleBook, less
from scheduler.verify import verify
from tests.answer.posted import moved, posted, without
from tests.strategies import kitchens

BOOKS = st.sampled_from([FULL, FULL, FULL, FULL, SIMPLE, *map(less, SWITCHES)])
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


@settings(SLOW, max_examples=60)
@given(kitchens(), BOOKS, st.data())
def test_an_answer_holds_and_moves_nothing(asked: Asked, rules: RuleBook, data) -> None:
    note = data.draw(st.sampled_from([*asked.open_notes()]))
    others = without(asked, note.id)
    plan = posted(others, rules)
    found = answered(others, plan, note, rules=rules)
    if not isinstance(found, Answer):
        assert found.rule in TITLES
        assert found.reason
        return
    assert verify(asked_again(others, note), found.plan, rules) == ()
    assert moved(plan, found) == []
    own = [charge for _, charge in found.plan.charges() if charge.note_id == note.id]
    rest = 0 if found.rest is None else found.rest.field_g
    assert 0 <= note.field_g - sum(charge.field_g for charge in own) - rest <= len(own)
    assert found.bags.fewest <= found.bags.likely <= found.bags.most


def asked_again(others: Asked, note: HarvestNote) -> Asked:
    return replace(others, notes=(*others.notes, note))


@settings(SLOW, max_examples=25)
@given(kitchens(with_past=False))
def test_notes_answered_one_after_the_other_make_a_plan_that_holds(asked: Asked) -> None:
    so_far, plan = replace(asked, notes=()), posted(replace(asked, notes=()))
    for note in asked.notes[:5]:
        found = answered(so_far, plan, note)
        so_far = replace(so_far, notes=(*so_far.notes, note))
        if isinstance(found, Answer):
            assert moved(plan, found) == []
            plan = found.plan
    assert verify(so_far, plan) == ()


@settings(SLOW, max_examples=25)
@given(kitchens(with_past=False), st.integers(1, 60))
def test_nothing_of_an_answer_lies_before_now(asked: Asked, hours: int) -> None:
    *others, note = asked.notes
    week = replace(asked, notes=tuple(others))
    now = asked.staffed()[0].start + timedelta(hours=hours, seconds=90)
    plan = posted(week)
    found = answered(week, plan, note, now=now)
    if isinstance(found, Answer):
        assert all(turn.span.start >= now for turn in found.turns)
        old = set(plan.duties)
        assert all(duty.span.start >= now for duty in found.plan.duties if duty not in old)
