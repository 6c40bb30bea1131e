"""Laws of wishes, in random small kitchens: what is wished is kept by every draft, or named."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from random import Random
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.wish import Wish, WishKind
from scheduler.expand import can_be_placed, expanded
from scheduler.keeping import keeping
from scheduler.model.neighbourhood import Neighbourhoods
from scheduler.model.solve import Effort
from scheduler.prepare import problem
from scheduler.problem import Draft, Problem
from scheduler.verify import verify
from scheduler.whiteboard import filled, whiteboard
from scheduler.whiteboard.calendars import Calendars
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import value
from tests.answer.posted import posted
from tests.keeping.test_laws import charges, promised
from tests.strategies import kitchens

SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))
STEPS = 6
KINDS: tuple[WishKind, ...] = ("pin", "forbid", "leave free")


def drafts(week: Problem, seed: int) -> Iterator[Draft]:
    """Some of those that a search finds: by hand, by ruin, and by the solver."""
    random = Random(seed)
    ruin = Ruin(week, random)
    now = whiteboard(week)
    yield now
    if week.firm.as_posted is not None:
        yield week.firm.as_posted
    for step in range(STEPS + 1):
        found: Draft | None = ruin.step(now)
        if step == STEPS:
            found = Neighbourhoods(week, ruin, random).improved(now, Effort(0.5, 0.05, seed))
        if found is not None and can_be_placed(week, found):
            now = found
            yield now


def span(data: Any, asked: Asked) -> Span:
    day = data.draw(st.sampled_from(asked.staffed()[:-1] or asked.staffed()))
    start = day.start + timedelta(minutes=5 * data.draw(st.integers(0, 120)))
    return Span(start, start + timedelta(minutes=5 * data.draw(st.sampled_from([1, 24, 200]))))


def wished(data: Any, asked: Asked) -> Asked:
    """Some wishes at random, and some against where charges would stand without any."""
    dryers = ["", *(each.id for each in asked.kitchen.dryers)]
    wishes = []
    for _ in range(data.draw(st.integers(1, 3))):
        kind = data.draw(st.sampled_from(KINDS))
        note = "" if kind == "leave free" else data.draw(st.sampled_from(asked.notes)).id
        dryer = data.draw(st.sampled_from(dryers if kind != "leave free" else dryers[1:]))
        whenever = bool(dryer) and kind != "leave free" and data.draw(st.booleans())
        wishes.append(Wish(0, kind, note, dryer, None if whenever else span(data, asked)))
    stands = list(posted(replace(asked, wishes=())).charges())
    for run, charge in data.draw(st.lists(st.sampled_from(stands), max_size=4)) if stands else ():
        around = timedelta(minutes=data.draw(st.sampled_from([0, 60, 180])))
        where = Span(run.start - around, run.start + around + timedelta(minutes=5))
        dryer = data.draw(st.sampled_from(["", run.dryer_id]))
        wishes.append(Wish(0, "forbid", charge.note_id, dryer, where))
    numbered = tuple(replace(wish, number=number) for number, wish in enumerate(wishes, 1))
    return replace(asked, wishes=numbered)


@settings(SLOW, max_examples=20)
@given(kitchens(), st.data(), st.integers(0, 1000))
def test_what_is_wished_is_so_in_every_draft_or_is_named(asked: Asked, data, seed: int) -> None:
    week = wished(data, asked)
    kept = keeping(week, problem(week))
    for draft in drafts(kept, seed):
        made = expanded(week, kept, draft)
        assert verify(week, made) == ()
        named = {each.wish for each in made.unkept}
        waits = {each.note_id for each in made.waiting}
        for wish in week.wishes:
            stands = [
                wish.meets(run.dryer_id, run.start)
                for run, charge in made.charges()
                if charge.note_id == wish.note_id
            ]
            if wish.kind == "forbid":
                assert not any(stands)
            if wish.kind == "pin" and wish.number not in named:
                assert wish.note_id not in waits


@settings(SLOW, max_examples=10)
@given(kitchens(with_past=False), st.data(), st.integers(0, 1000))
def test_what_is_firm_stays_against_a_wish_which_is_named(asked: Asked, data, seed: int) -> None:
    week, plan = promised(data, asked)
    week = wished(data, week)
    kept = keeping(week, problem(week))
    assert kept.firm.moved == ()
    for draft in drafts(kept, seed):
        made = expanded(week, kept, draft)
        assert verify(week, made) == ()
        assert charges(made, week.promised.firm) == charges(plan, week.promised.firm)


@settings(SLOW, max_examples=5)
@given(kitchens(with_past=False), st.data(), st.integers(0, 1000))
def test_no_draft_has_less_of_what_is_pinned_than_fits_alone(asked: Asked, data, seed: int) -> None:
    week = wished(data, asked)
    asked_for = problem(week)
    first = [lot.index for lot in asked_for.lots if lot.pinned]
    alone = filled(asked_for, Calendars(asked_for), first)
    assert max(value(asked_for, each) for each in drafts(asked_for, seed)) >= value(
        asked_for, alone
    )
