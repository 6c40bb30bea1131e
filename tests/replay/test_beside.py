"""A week as it is and as supposed, looked at alike; what is firm stays."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from scheduler import weeks
from scheduler.comparing import by_grower, compared
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.supposition import Supposition
from scheduler.model.search import Limits, Progress
from scheduler.planning import LaidOut, lay_out
from scheduler.replay import beside as beside_module
from scheduler.replay.beside import tried
from scheduler.replay.supposed_week import supposed_week
from scheduler.units import Grams
from scheduler.verify import verify
from tests.answer.posted import posted

LITTLE = Limits(seconds=1.5, workers=1)


def crowded(seed: int) -> Asked:
    asked = weeks.small_kitchen(seed)
    notes = tuple(replace(each, field_g=Grams(2 * each.field_g)) for each in asked.notes)
    return replace(asked, notes=notes)


def firm(asked: Asked) -> tuple[Asked, Plan]:
    """Posted by hand, every note with a place in it firm."""
    plan = posted(asked)
    notes = frozenset(charge.note_id for _, charge in plan.charges())
    return replace(asked, promised=Promised(plan, notes)), plan


@pytest.fixture(scope="module")
def week() -> tuple[Asked, Plan]:
    return firm(crowded(9))


def test_one_more_dryer_beside_what_is_firm(week: tuple[Asked, Plan]):
    asked, plan = week
    changed = supposed_week(asked, Supposition("dryer"))
    heard: list[float] = []
    found = tried(asked, changed, LITTLE, lambda each: heard.append(each.seconds))
    assert verify(asked, found.without) == verify(changed, found.with_it) == ()
    assert found.with_it.worth_g >= found.without.worth_g >= plan.worth_g
    assert found.with_it.worth_g <= found.with_bound_g
    assert found.without.worth_g <= found.without_bound_g
    assert found.with_it.moved == ()
    assert heard == sorted(heard)  # three looks are told as one
    both = compared((asked, found.without), (changed, found.with_it))
    assert {each.kind for each in both.changes} <= {"gains a place", "gains weight", "moves"}
    more = sum(each.after_g - each.before_g for each in by_grower(asked, both))
    assert (more > 0) == (found.with_it.worth_g > found.without.worth_g)


def test_a_stop_names_the_firm_turns_that_cannot_stay(week: tuple[Asked, Plan]):
    asked, plan = week
    run = plan.runs[0]
    stop = Supposition("down", dryer_id=run.dryer_id, span=Span(run.start, run.end))
    changed = supposed_week(asked, stop)
    found = tried(asked, changed, LITTLE)
    assert {each.note_id for each in found.with_it.moved} >= {run.charges[0].note_id}
    assert found.without.moved == ()
    assert found.with_it.worth_g <= found.without.worth_g


def test_stopped_at_once_both_are_compared_all_the_same(week: tuple[Asked, Plan]):
    asked, plan = week

    def at_once(_: Progress) -> bool:
        return True

    found = tried(asked, supposed_week(asked, Supposition("hand")), LITTLE, at_once)
    assert found.stopped
    assert found.without.worth_g == found.with_it.worth_g == plan.worth_g


@pytest.mark.parametrize("afresh", [False, True])
def test_another_order_is_not_lent_the_better_plan(
    monkeypatch: pytest.MonkeyPatch, week: tuple[Asked, Plan], afresh: bool
):
    """A search that finds nothing in the other order; lent the other plan, it could not differ."""
    plain, _ = week
    asked = replace(plain, promised=Promised())
    other = replace(asked, notes=asked.notes[::-1])

    def unlucky(wanted: Asked, **how: Any) -> LaidOut:
        found = lay_out(wanted, **how)
        if wanted != other:
            return found
        return replace(found, plan=Plan(wanted.week, found.plan.rules, (), ()))

    monkeypatch.setattr(beside_module, "lay_out", unlucky)
    found = tried(asked, other, LITTLE, afresh=afresh)
    assert found.without.worth_g > 0
    assert found.with_it.worth_g == (0 if afresh else found.without.worth_g)


def test_each_from_nothing_is_told_as_one(week: tuple[Asked, Plan]):
    plain, _ = week
    asked = replace(plain, promised=Promised())
    heard: list[float] = []
    found = tried(asked, asked, LITTLE, lambda each: heard.append(each.seconds), afresh=True)
    assert heard == sorted(heard)
    assert verify(asked, found.without) == verify(asked, found.with_it) == ()
    assert found.without.worth_g <= found.without_bound_g


def test_who_gains_and_who_loses_by_grower(week: tuple[Asked, Plan]):
    """Of a plan less one of its notes, whoever had that note loses just it."""
    asked, plan = week
    whole = [c.note_id for _, c in plan.charges() if _once(plan, c.note_id)]
    gone = whole[0]
    runs = (replace(r, charges=tuple(c for c in r.charges if c.note_id != gone)) for r in plan.runs)
    less = replace(plan, runs=tuple(r for r in runs if r.charges))
    (change,) = by_grower(asked, compared((asked, plan), (asked, less)))
    assert (change.grower_id, change.loses) == (asked.note(gone).grower_id, (gone,))
    assert (change.before_g, change.after_g) == (asked.note(gone).field_g, 0)
    (back,) = by_grower(asked, compared((asked, less), (asked, plan)))
    assert (back.gains, back.loses) == ((gone,), ())
    assert by_grower(asked, compared((asked, plan), (asked, plan))) == ()


def _once(plan: Plan, note_id: str) -> bool:
    return sum(charge.note_id == note_id for _, charge in plan.charges()) == 1
