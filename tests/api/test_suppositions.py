"""Suppose: asked for, found by a worker, told; nothing in the book but the work itself changes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from threading import Event

import pytest

from api import worker as worker_module
from api.services import jobs
from api.services.errors import NoSuchThing, NotAllowed, NotNow
from api.services.posting import post
from api.services.suppositions import (
    SupposedWeek,
    ask_suppose,
    stop_supposing,
    supposed,
    supposed_of,
)
from api.services.taking_in import take_in
from api.store import DatabaseShelf
from api.worker import Way, Worker
from scheduler.domain.clock import Span, Week
from scheduler.domain.plan import Plan
from scheduler.domain.supposition import Supposition, SuppositionKind
from scheduler.errors import BadInput, BrokenPromise
from scheduler.plan_file import value_to_json
from scheduler.scenario import load
from tests.api.test_promises import laid_out
from tests.book import BOARD, GROWER, HAND, MANAGER, doing
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
NOW = doing(MANAGER)
WAY = Way(lease=timedelta(seconds=30), explain_seconds=0, climbers=1)
DRYER = Supposition("dryer")


@pytest.fixture
def shelf(tmp_path: Path, plan: Plan) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path) as found:
        with found.writing() as book:
            take_in(book, NOW, AUGUST)
            post(book, NOW, laid_out(book, plan))
        yield found


def asked(shelf: DatabaseShelf, what: Supposition = DRYER, *, seconds: float = 3) -> int:
    with shelf.writing() as book:
        return ask_suppose(book, NOW, AUGUST.week, what, seconds=seconds).number


def work(shelf: DatabaseShelf) -> None:
    assert Worker(shelf, Event(), way=WAY, clock=lambda: FRIDAY).take()


def told(shelf: DatabaseShelf, number: int) -> SupposedWeek:
    with shelf.reading() as book:
        return supposed(book, NOW, number)


def kept(shelf: DatabaseShelf) -> list[object]:
    """All that a lay-out or a posting would change."""
    with shelf.reading() as book:
        pages = (book.weeks, book.turns, book.notes, book.messages, book.wishes, book.outages)
        found: list[object] = [value_to_json(each.where()) for each in pages]
        return [*found, book.plans.numbers_of(AUGUST.week)]


def test_what_it_comes_to_and_nothing_else_is_kept(shelf: DatabaseShelf, plan: Plan):
    before = kept(shelf)
    number = asked(shelf)
    work(shelf)
    done = told(shelf, number)
    found = done.supposing.found
    assert found
    assert (done.job.state, done.job.plan, done.job.fault) == ("done", None, "")
    assert found.posted_g == plan.worth_g
    assert found.compared.after.worth_g >= found.compared.before.worth_g >= plan.worth_g
    assert found.compared.after.worth_g <= found.with_bound_g
    assert found.moved == ()
    assert done.cost
    assert kept(shelf) == before
    with shelf.reading() as book:
        assert book.deeds.where(act="suppose")[-1].told["lay_out"] == number
        assert [each.number for each in supposed_of(book, NOW, AUGUST.week)] == [number]


def test_it_is_no_lay_out(shelf: DatabaseShelf):
    """Where lay-outs are looked at, stopped and posted it is not there."""
    number = asked(shelf)
    with shelf.writing() as book:
        assert jobs.jobs(book, NOW, week=None, after=None, limit=9) == ()
        with pytest.raises(NoSuchThing):
            jobs.job_numbered(book, NOW, number)
        with pytest.raises(NoSuchThing):
            jobs.stop(book, NOW, number)
        mine = jobs.ask(book, NOW, AUGUST.week).number
        with pytest.raises(NoSuchThing):
            supposed(book, NOW, mine)
        assert [each.number for each in jobs.jobs(book, NOW, week=None, after=None, limit=9)] == [
            mine
        ]


def test_a_stop_names_who_could_not_stay(shelf: DatabaseShelf, plan: Plan):
    run = plan.runs[0]
    number = asked(shelf, Supposition("down", dryer_id=run.dryer_id, span=Span(run.start, run.end)))
    work(shelf)
    found = told(shelf, number).supposing.found
    assert found
    assert run.charges[0].note_id in {each.note_id for each in found.moved}
    with shelf.reading() as book:
        assert book.outages.where() == ()


def test_stopped_before_it_began_nothing_is_found(shelf: DatabaseShelf):
    number = asked(shelf)
    with shelf.writing() as book:
        stop_supposing(book, NOW, number)
        stop_supposing(book, NOW, number)
    done = told(shelf, number)
    assert (done.job.state, done.supposing.found) == ("stopped", None)
    assert not Worker(shelf, Event(), way=WAY, clock=lambda: FRIDAY).take()


def test_stopped_while_it_looks_both_are_compared(shelf: DatabaseShelf):
    number = asked(shelf, seconds=600)
    with shelf.working() as book_jobs:
        book_jobs.want_stop(number)
    work(shelf)
    done = told(shelf, number)
    assert done.job.state == "stopped"
    assert done.supposing.found


def test_another_order_is_laid_out_from_nothing_both_ways(shelf: DatabaseShelf):
    number = asked(shelf, Supposition("keeping"))
    done = told(shelf, number)
    assert done.supposing.moving
    assert done.asked.promised.plan is None


@pytest.mark.parametrize(("kind", "alone"), [("order", True), ("keeping", True), ("dryer", False)])
def test_another_order_is_lent_no_plan(
    shelf: DatabaseShelf, monkeypatch: pytest.MonkeyPatch, kind: SuppositionKind, alone: bool
):
    """Whatever is lent fits both orders, which then could not differ."""
    heard: list[bool] = []

    def tried(*_: object, afresh: bool) -> None:
        heard.append(afresh)
        raise BrokenPromise("enough")

    monkeypatch.setattr(worker_module, "tried", tried)
    asked(shelf, Supposition(kind))
    work(shelf)
    assert heard == [alone]


def test_it_is_the_managers(shelf: DatabaseShelf):
    number = asked(shelf)
    with shelf.writing() as book:
        for person in (HAND, GROWER, BOARD):
            with pytest.raises(NotAllowed):
                ask_suppose(book, doing(person), AUGUST.week, DRYER)
            with pytest.raises(NotAllowed):
                supposed(book, doing(person), number)
        ask_suppose(book, doing(MANAGER, acts=("suppose",)), AUGUST.week, DRYER)


def test_what_cannot_be_supposed_is_not_asked_for(shelf: DatabaseShelf):
    with shelf.writing() as book:
        with pytest.raises(BadInput, match="no note R99"):
            ask_suppose(book, NOW, AUGUST.week, Supposition("note", "R99"))
        with pytest.raises(NotNow, match="no note asks"):
            ask_suppose(book, NOW, Week(2026, 36), DRYER)
        later = doing(MANAGER, FRIDAY + timedelta(weeks=3))
        with pytest.raises(NotNow, match="is over"):
            ask_suppose(book, later, AUGUST.week, DRYER)
        assert book.jobs.where() == ()
