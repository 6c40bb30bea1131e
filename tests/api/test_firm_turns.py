"""After posting, the next lay-out keeps what is firm, and names whom it cannot keep (rule 18)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path
from threading import Event

import pytest
from rich.console import Console

from api.records.plans import KeptPlan
from api.schemas.week import WeekBody
from api.services.lay_outs import keep_laid_out, to_lay_out
from api.services.notes import Said, as_note, keep_note
from api.services.outages import down
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.posting import OnPurpose, Posted, post
from api.services.promises import broken
from api.services.roles import Doing
from api.services.so_far import so_far
from api.services.taking_in import take_in
from api.services.turns import brought_up_to, turns
from api.worker import Way, Worker
from scheduler.domain.clock import Week
from scheduler.domain.plan import Moved
from scheduler.domain.turn import Turn
from scheduler.expand import expanded
from scheduler.keeping import keeping
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.terminal import week_text
from scheduler.units import Grams
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from tests.api.lay_outs import asked_for, seen, shelf_with
from tests.book import MANAGER, doing
from tests.shelves import fresh_shelf

AUGUST = load("august")
NEXT = Week.parse("2026-W35")
NOW = doing(MANAGER)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, NOW, AUGUST)
        yield found


def laid_out(
    book: Book, week: Week = AUGUST.week, *, by: Doing = NOW, moving: bool = False
) -> KeptPlan:
    """As a worker does it, but by hand."""
    wanted = to_lay_out(book, by, week, moving=moving)
    kept = keeping(wanted.asked, problem(wanted.asked))
    made = expanded(wanted.asked, kept, kept.firm.as_posted or whiteboard(kept))
    made = max(
        (made, expanded(wanted.asked, kept, whiteboard(kept))), key=lambda each: each.worth_g
    )
    assert verify(wanted.asked, made) == ()
    return plan_numbered(book.plans, keep_laid_out(book, wanted, made, at=by.at))


def posted(book: Book, week: Week = AUGUST.week) -> Posted:
    return post(book, NOW, laid_out(book, week).number)


def firm(book: Book, week: Week = AUGUST.week) -> tuple[Turn, ...]:
    return tuple(turn for turn in turns(book, NOW, week=week) if turn.state == "firm")


def noted(book: Book, grower_id: str, kg: int, at: datetime) -> str:
    said = Said(grower_id, "tomato", Grams(1000 * kg), at)
    return keep_note(book, NOW, as_note(book, NOW, said), answer=None).id


def test_a_note_more_moves_nobody(book: Book):
    posted(book)
    before = firm(book)
    assert before
    new = noted(book, "G04", 30, datetime(2026, 8, 17, 12, tzinfo=UTC))
    done = posted(book)
    assert done.kept.plan.moved == ()
    assert set(before) <= set(firm(book)), "to the sequence"
    assert done.kept.asked.promised.firm == {turn.note_id for turn in before}
    others = {turn.note_id for turn in done.turns} - {new}
    assert not others & {turn.note_id for turn in before}, "but who is only pencilled"


def test_who_cannot_be_kept_is_named_and_the_others_stay(book: Book):
    done = posted(book)
    before = firm(book)
    sure = {turn.note_id for turn in before}
    run = next(each for each in done.kept.plan.runs if sure >= {c.note_id for c in each.charges})
    hit = {charge.note_id for charge in run.charges}
    down(book, NOW, run.dryer_id, stopped=run.start)
    again = laid_out(book)
    named = {each.note_id: each for each in again.plan.moved}
    assert hit <= set(named) <= sure
    assert {each.rule for each in named.values()} == {11}
    assert all(run.dryer_id in named[each].reason for each in hit)
    told = WeekBody.from_domain(again)
    assert {each.code for each in told.moved} == set(named)
    console = Console(record=True, width=200, file=StringIO())
    console.print(week_text(again.asked, again.plan))
    assert "Firm turns that could not be kept" in console.export_text()
    after = post(book, NOW, again.number)
    stay = {turn for turn in before if turn.note_id not in named}
    assert stay
    assert stay <= set(firm(book))
    assert hit <= {turn.note_id for turn in after.turns}


def test_to_be_named_as_moved_is_no_excuse(book: Book):
    posted(book)
    gone = firm(book)[0].note_id
    kept = laid_out(book)
    plan = replace(kept.plan, runs=(), duties=(), moved=(Moved(gone, 11, "It says so."),))
    after = brought_up_to(book, NOW, replace(kept, plan=plan), firm=())
    assert gone in {turn.note_id for turn in broken(book, NOW, replace(kept, plan=plan), after)}


def test_firm_turns_may_be_moved_on_purpose(book: Book):
    posted(book)
    assert to_lay_out(book, NOW, AUGUST.week).asked.promised.firm
    assert to_lay_out(book, NOW, AUGUST.week, moving=True).asked.promised.firm == frozenset()


def test_what_is_under_way_as_promised_goes_on(book: Book):
    """Nobody wrote down that the first run has started; it is laid out where it is all the same."""
    done = posted(book)
    before = firm(book)
    first = min(done.kept.plan.runs, key=lambda run: run.start)
    later = doing(MANAGER, first.start + timedelta(hours=1))
    noted(book, "G04", 30, datetime(2026, 8, 19, 12, tzinfo=UTC))
    again = laid_out(book, by=later)
    assert (first.dryer_id, first.start) in {(r.dryer_id, r.start) for r in again.plan.runs}
    assert again.plan.moved == ()
    post(book, later, again.number)
    assert set(before) <= set(firm(book))


def test_the_week_after_is_laid_out_around_the_monday_between(book: Book):
    done = posted(book)
    monday = datetime(2026, 8, 24, 11, tzinfo=UTC)
    packing = {
        AUGUST.note(charge.note_id).grower_id
        for _, charge in done.kept.plan.charges()
        if charge.after and charge.after.packing.start > monday
    }
    assert packing
    for grower_id in sorted(packing):
        noted(book, grower_id, 40, monday)
    kept = laid_out(book, NEXT)
    assert kept.asked.promised.taken
    assert {each.who for each in kept.asked.promised.taken} >= packing
    assert post(book, NOW, kept.number).turns
    ignorant = replace(kept.asked, promised=replace(kept.asked.promised, taken=()))
    clash = expanded(ignorant, problem(ignorant), whiteboard(problem(ignorant)))
    assert 18 in {fault.rule for fault in verify(kept.asked, clash)}


def test_who_was_served_least_is_called_first(book: Book):
    done = posted(book)
    served = {AUGUST.note(c.note_id).grower_id for _, c in done.kept.plan.charges()}
    none = next(each.id for each in AUGUST.growers if each.shares and each.id not in served)
    for number, grower_id in enumerate([*sorted(served)[:2], none]):
        noted(book, grower_id, 20, datetime(2026, 8, 25, 12 + number, tzinfo=UTC))
    asked = to_lay_out(book, NOW, NEXT).asked
    assert asked.notes[0].grower_id == none
    week = problem(asked)
    assert [week.lots[lot].note_id for lot in week.order] == [each.id for each in asked.notes]


def test_who_was_bumped_is_first_in_turn(book: Book):
    posted(book)
    down(book, NOW, "D1", stopped=AUGUST.kitchen.staffed_spans(AUGUST.week.days)[0].start)
    again = post(book, NOW, laid_out(book, moving=True).number, purpose=OnPurpose(moving=True))
    bumped = {each.grower_id for each in so_far(book, NEXT) if each.bumped}
    assert bumped
    assert not so_far(book, AUGUST.week)
    for grower in AUGUST.growers:
        noted(book, grower.id, 20, datetime(2026, 8, 25, 12, tzinfo=UTC))
    called = [each.grower_id for each in to_lay_out(book, NOW, NEXT).asked.notes]
    members = {each.id for each in again.kept.asked.growers if each.shares}
    assert set(called[: len(bumped & members)]) == bumped & members


@pytest.mark.slow
def test_a_worker_keeps_what_is_firm(tmp_path: Path):
    with shelf_with("august", tmp_path, "own") as (shelf, _):
        way = Way(explain_seconds=0, climbers=1)
        before: set[Turn] = set()
        for _ in range(2):
            job = asked_for(shelf, AUGUST.week, seconds=4)
            assert Worker(shelf, Event(), way=way).take()
            done = seen(shelf, job.number)
            assert (done.state, done.fault) == ("done", "")
            with shelf.writing() as book:
                post(book, doing(MANAGER), done.plan or 0)
                assert before <= set(firm(book))
                before = set(firm(book))
                noted(book, "G04", 30, datetime(2026, 8, 18, 12, tzinfo=UTC))
