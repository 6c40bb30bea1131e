"""Laws of what is promised, in random small kitchens: firm notes stay, whatever comes after."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised, Taken
from scheduler.expand import can_be_placed, expanded
from scheduler.keeping import keeping
from scheduler.model.neighbourhood import Neighbourhoods
from scheduler.model.solve import Effort
from scheduler.prepare import problem
from scheduler.problem import Draft, Problem
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth
from tests.answer.posted import posted
from tests.strategies import kitchens, stations

SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))
STEPS = 25


def promised(data: st.DataObject, asked: Asked) -> tuple[Asked, Plan]:
    """The week with all its notes, of which some were posted, and some of these are firm."""
    notes = asked.notes
    few = data.draw(st.integers(1 + len(notes) // 2, max(1 + len(notes) // 2, len(notes) - 1)))
    plan = posted(replace(asked, notes=notes[:few]))
    placed = dict.fromkeys(charge.note_id for _, charge in plan.charges())
    firm = frozenset(each for each in placed if data.draw(st.integers(0, 2)))
    return replace(asked, promised=Promised(plan, firm)), plan


def drafts(week: Problem, seed: int) -> Iterator[Draft]:
    """As the search finds them."""
    random = Random(seed)
    ruin = Ruin(week, random)
    near = Neighbourhoods(week, ruin, random)
    now = whiteboard(week)
    yield now
    if week.firm.as_posted is not None:
        now = week.firm.as_posted
        yield now
    for step in range(STEPS):
        solves = step % 12 == 11
        found = near.improved(now, Effort(2.0, 0.2, step)) if solves else ruin.step(now)
        if found is not None and can_be_placed(week, found):
            now = found
            yield now


def charges(plan: Plan, notes: frozenset[str]) -> list[object]:
    found = [
        (run.dryer_id, run.start, run.set_point_c, replace(charge, first_rack=1))
        for run, charge in plan.charges()
        if charge.note_id in notes
    ]
    return sorted(found, key=str)


def duties(plan: Plan, notes: frozenset[str]) -> list[object]:
    codes = {charge.code for _, charge in plan.charges() if charge.note_id in notes}
    return sorted((each for each in plan.duties if each.subject in codes), key=str)


@settings(SLOW, max_examples=40)
@given(kitchens(), st.data(), st.integers(0, 1000))
def test_whatever_is_searched_all_that_is_firm_stays(asked: Asked, data, seed: int) -> None:
    week, plan = promised(data, asked)
    firm = week.promised.firm
    kept = keeping(week, problem(week))
    assert kept.firm.moved == ()
    assert {kept.lots[lot].note_id for lot in kept.firm.lots} >= firm
    for draft in drafts(kept, seed):
        made = expanded(week, kept, draft)
        assert verify(week, made) == ()
        assert made.moved == ()
        assert charges(made, firm) == charges(plan, firm)
        assert duties(made, firm) == duties(plan, firm)
        assert worth(kept, draft) >= worth(kept, kept.firm.draft)


@settings(SLOW, max_examples=25)
@given(kitchens(with_past=False), st.data(), st.integers(0, 1000))
def test_who_cannot_be_kept_is_named_and_all_others_stay(asked: Asked, data, seed: int) -> None:
    week, plan = promised(data, asked)
    now = min((run.start for run in plan.runs), default=asked.staffed()[0].start)
    stopped = data.draw(st.sampled_from(stations(asked.kitchen)))
    happened = replace(week.happened, outages=(Outage(stopped, now, None),))
    gone = {each.id for each in week.notes if each.id not in week.promised.firm}
    gone = {each for each in sorted(gone) if data.draw(st.integers(0, 4)) == 0}
    notes = tuple(note for note in week.notes if note.id not in gone)
    week = replace(week, happened=happened, notes=notes)
    kept = keeping(week, problem(week))
    moved = {each.note_id for each in kept.firm.moved}
    stay = week.promised.firm - moved
    assert {kept.lots[lot].note_id for lot in kept.firm.lots} >= stay
    assert all(each.rule and each.reason for each in kept.firm.moved)
    for draft in drafts(kept, seed):
        made = expanded(week, kept, draft)
        assert verify(week, made) == ()
        assert charges(made, stay) == charges(plan, stay)
        assert {each.note_id for each in made.moved} <= moved


@settings(SLOW, max_examples=25)
@given(kitchens(), st.data(), st.integers(0, 1000))
def test_what_other_plans_have_taken_is_left_alone(asked: Asked, data, seed: int) -> None:
    kitchen = asked.kitchen
    several = {kitchen.cold_store.id, *(each.id for each in kitchen.chill_tubs)}
    who = [*stations(kitchen), *(each.name for each in kitchen.hands)]
    who += [each.id for each in asked.growers]
    taken = []
    for name in data.draw(st.lists(st.sampled_from(sorted({*who} - several)), max_size=4)):
        day = data.draw(st.sampled_from(asked.staffed()))
        start = day.start + timedelta(minutes=data.draw(st.integers(0, 600)))
        end = start + timedelta(minutes=data.draw(st.integers(1, 300)))
        taken.append(Taken(name, Span(start, end), "cutting R12"))
    week = replace(asked, promised=Promised(taken=tuple(taken)))
    kept = keeping(week, problem(week))
    for draft in drafts(kept, seed):
        if can_be_placed(kept, draft):
            assert verify(week, expanded(week, kept, draft)) == ()
