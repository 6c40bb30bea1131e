"""Posting keeps what was promised: in its own week, beside its neighbours, and in time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from api.records.plans import From, KeptPlan
from api.services.asking import asked_of
from api.services.errors import NotNow
from api.services.notes import Said, as_note, keep_note, note
from api.services.outages import down
from api.services.plans import keep, plan_numbered
from api.services.ports import Book
from api.services.posting import OnPurpose, post
from api.services.promises import broken
from api.services.turns import brought_up_to, turns
from api.services.weeks import week_entry
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan, Waiting
from scheduler.scenario import load
from scheduler.units import Grams
from scheduler.verify import verify
from tests.answer.posted import posted
from tests.api.lay_outs import taken_in
from tests.book import MANAGER, doing
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
NEXT = Week.parse("2026-W35")
NOW = doing(MANAGER)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with fresh_shelf(tmp_path, taken_in("august")) as shelf, shelf.writing() as found:
        yield found


def laid_out(book: Book, plan: Plan, week: Week = AUGUST.week) -> int:
    entry = week_entry(book, week)
    origin = From(entry.notes_version, entry.posted, "lotte")
    asked = asked_of(book, week, now=FRIDAY)
    return keep(book.plans, asked, plan, laid_out_at=FRIDAY, origin=origin)


def without(asked: Asked, note_id: str) -> Plan:
    """A faultless plan in which that note waits and others have moved up."""
    gone = [charge for _, charge in posted(asked).charges() if charge.note_id == note_id]
    fewer = tuple(each for each in asked.notes if each.id != note_id)
    made = posted(replace(asked, notes=fewer))
    waits = Waiting(
        note_id,
        Grams(sum(each.field_g for each in gone)),
        Grams(sum(each.prepared_g for each in gone)),
    )
    made = replace(made, waiting=(*made.waiting, waits))
    assert verify(asked, made) == ()
    return made


def first_firm(book: Book, plan: Plan) -> str:
    post(book, NOW, laid_out(book, plan))
    return next(turn.note_id for turn in turns(book, NOW) if turn.state == "firm")


def test_a_promise_that_could_be_kept_is_not_broken(book: Book, plan: Plan):
    gone = first_firm(book, plan)
    before = turns(book, NOW)
    again = laid_out(book, without(asked_of(book, AUGUST.week, now=FRIDAY), gone))
    with pytest.raises(NotNow, match=r"moves or drops \d+ firm turns .*; and \d+ more"):
        post(book, NOW, again)
    assert turns(book, NOW) == before
    post(book, NOW, again, purpose=OnPurpose(moving=True))
    assert note(book, NOW, gone).state == "noted"
    assert book.deeds.where(act="post")[-1].told == {
        "plan": again,
        "moving": True,
        "over_caps": [],
    }
    assert turns(book, NOW) != before


def test_the_same_plan_laid_out_again_breaks_none(book: Book, plan: Plan):
    first_firm(book, plan)
    assert post(book, NOW, laid_out(book, plan)).turns == ()


def refusal(book: Book, plan: Plan) -> str:
    with pytest.raises(NotNow) as refused:
        post(book, NOW, laid_out(book, plan))
    return str(refused.value)


def test_who_asks_otherwise_than_she_was_promised_may_be_moved(book: Book, plan: Plan):
    gone = first_firm(book, plan)
    found = note(book, NOW, gone)
    assert gone in refusal(book, without(asked_of(book, AUGUST.week, now=FRIDAY), gone))
    book.notes.replace(replace(found, field_g=Grams(found.field_g - 500)))
    made = without(asked_of(book, AUGUST.week, now=FRIDAY), gone)
    assert f", {gone}" not in refusal(book, made)


def test_who_loses_a_station_may_be_moved(book: Book, plan: Plan):
    first_firm(book, plan)
    firm = {turn.note_id for turn in turns(book, NOW) if turn.state == "firm"}
    run = next(each for each in plan.runs if {c.note_id for c in each.charges} <= firm)
    run_notes = {charge.note_id for charge in run.charges}
    kept = plan_numbered(book.plans, laid_out(book, replace(plan, runs=())))
    assert run_notes <= would_break(book, kept)
    down(book, NOW, run.dryer_id, stopped=run.start)
    asked = asked_of(book, AUGUST.week, now=FRIDAY)
    assert not run_notes & would_break(book, replace(kept, asked=asked))
    assert would_break(book, replace(kept, asked=asked))


def would_break(book: Book, kept: KeptPlan) -> set[str]:
    after = brought_up_to(book, NOW, kept, firm=())
    return {turn.note_id for turn in broken(book, NOW, kept, after)}


def test_a_letter_must_hold_on_each_day_of_the_turns(book: Book, plan: Plan):
    last = max(run.start for run, _ in plan.charges()).date()
    ending = AUGUST.week.monday
    assert ending < last
    for each in book.approvals.where():
        book.approvals.replace(replace(each, until=ending))
    done = post(book, NOW, laid_out(book, plan))
    zone = AUGUST.kitchen.zone
    late = [turn for turn in done.turns if turn.end.astimezone(zone).date() > ending]
    assert late
    assert {turn.state for turn in late} == {"pencilled"}


def test_a_plan_that_has_begun_is_not_posted(book: Book, plan: Plan):
    number = laid_out(book, plan)
    begins = min(run.start for run in plan.runs)
    with pytest.raises(NotNow, match="is over; lay out again"):
        post(book, doing(MANAGER, begins + timedelta(minutes=1)), number)
    assert turns(book, NOW) == ()


def test_a_plan_of_another_week_is_not_posted(book: Book, plan: Plan):
    number = laid_out(book, plan)
    with pytest.raises(NotNow, match="is of 2026-W34, not of 2026-W35"):
        post(book, NOW, number, week=NEXT)
    assert week_entry(book, AUGUST.week).posted is None


def next_week(book: Book, plan: Plan) -> tuple[int, int]:
    """Both weeks laid out; who packs on the Monday between them brings a lot on it too."""
    monday = datetime(2026, 8, 24, 10, tzinfo=UTC)
    packing = [
        AUGUST.note(charge.note_id).grower_id
        for _, charge in plan.charges()
        if charge.after and charge.after.packing.start > monday
    ]
    assert packing
    for grower_id in sorted(set(packing)):
        said = Said(grower_id, "tomato", Grams(40_000), monday)
        keep_note(book, NOW, as_note(book, NOW, said), answer=None)
    made = posted(asked_of(book, NEXT, now=FRIDAY))
    return laid_out(book, plan), laid_out(book, made, NEXT)


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_nobody_is_promised_twice_on_the_monday_between(
    book: Book, plan: Plan, order: tuple[int, int]
):
    numbers = next_week(book, plan)
    post(book, NOW, numbers[order[0]])
    before = turns(book, NOW)
    with pytest.raises(NotNow, match="is posted and takes at the same time: "):
        post(book, NOW, numbers[order[1]])
    assert turns(book, NOW) == before
