"""The worker lays out what it claims, keeps the plan, stops with the best, leaves nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

from api import worker as worker_module
from api.records.jobs import Job
from api.services.jobs import SoFar, asked_about, beat, claim, stop
from api.store import DatabaseShelf
from api.worker import Way, Worker
from scheduler.domain.asked import Asked
from scheduler.errors import BrokenPromise
from scheduler.expand import expanded
from scheduler.plan_file import value_from_json, value_to_json
from scheduler.planning import lay_out
from scheduler.prepare import problem
from scheduler.problem import Draft
from scheduler.scenario import load
from scheduler.verify import Fault
from scheduler.worth import worth
from tests.api.lay_outs import asked_for, seen, shelf_with
from tests.api.workers import once
from tests.book import MANAGER, doing
from tests.drafts import better_draft

AUGUST, SPRING = load("august"), load("spring_day")
LONG_AGO = datetime(2026, 8, 14, tzinfo=UTC)
WAY = Way(lease=timedelta(seconds=2), explain_seconds=0, climbers=1)


@pytest.fixture
def spring(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with shelf_with("spring_day", tmp_path, "own") as (found, _):
        yield found


@pytest.fixture
def august(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with shelf_with("august", tmp_path, "own") as (found, _):
        yield found


@contextmanager
def at_work(worker: Worker) -> Iterator[Thread]:
    """The worker takes one, in a thread; gone afterwards."""
    thread = Thread(target=worker.take)
    thread.start()
    try:
        yield thread
    finally:
        worker.ending.set()
        thread.join()


def replaced(monkeypatch: pytest.MonkeyPatch, outcome: Callable[..., Any]) -> None:
    monkeypatch.setattr(worker_module, "lay_out", outcome)


def raising(error: Exception) -> Callable[..., Any]:
    def outcome(*_: Any, **__: Any) -> Any:
        raise error

    return outcome


def test_what_was_asked_for_is_laid_out_and_kept(spring: DatabaseShelf):
    job = asked_for(spring, SPRING.week, seconds=5)
    worker = Worker(spring, Event(), way=WAY)
    assert worker.take()
    assert not worker.take()
    ended = seen(spring, job.number)
    assert (ended.state, ended.worth_g, ended.gap) == ("done", 95_450, 0.0)
    with spring.reading() as book:
        kept = book.plans.newest_of(SPRING.week)
    assert kept is not None
    assert (kept.number, kept.origin) == (ended.plan, job.origin)
    assert kept.plan.worth_g == 95_450


def test_stopping_keeps_the_best(august: DatabaseShelf):
    job = asked_for(august, AUGUST.week, seconds=600)
    with at_work(Worker(august, Event(), way=WAY)) as thread:
        once(lambda: seen(august, job.number).worth_g is not None)
        with august.writing() as book:
            stop(book, doing(MANAGER), job.number)
        thread.join(30)
    ended = seen(august, job.number)
    assert ended.state == "stopped"
    with august.reading() as book:
        kept = book.plans.find(ended.plan or 0)
    assert kept is not None
    assert kept.plan.proof is not None
    assert ended.worth_g == kept.plan.worth_g >= kept.plan.proof.whiteboard_g


def test_a_worker_that_goes_hands_back_what_it_found(august: DatabaseShelf):
    job = asked_for(august, AUGUST.week, seconds=600)
    with at_work(Worker(august, Event(), way=WAY)):
        once(lambda: seen(august, job.number).worth_g is not None)
    left = seen(august, job.number)
    assert (left.state, left.worker, left.tries, left.fault) == ("asked", "", 0, "")
    with august.reading() as book:
        best = value_from_json(Draft, book.jobs.best(job.number), "best")
    assert worth(problem(as_asked(august, left)), best) == left.worth_g


def as_asked(shelf: DatabaseShelf, job: Job) -> Asked:
    with shelf.reading() as book:
        return asked_about(book.jobs, job)


def test_another_goes_on_from_the_saved_best_and_its_bound(august: DatabaseShelf):
    """No time is left to look, so that the plan can only be what was saved."""
    job = asked_for(august, AUGUST.week, seconds=60)
    asked = as_asked(august, job)
    best = better_draft(problem(asked))
    before = SoFar(60.0, worth(problem(asked), best), 1_000_000, 1, value_to_json(best))
    with august.working() as jobs:
        lost = claim(jobs, "lost", at=LONG_AGO, lease=WAY.lease)
        assert lost is not None
        beat(jobs, lost, until=LONG_AGO + WAY.lease, so_far=before)
    assert Worker(august, Event(), way=WAY).take()
    ended = seen(august, job.number)
    assert (ended.state, ended.worth_g, ended.bound_g) == ("done", before.worth_g, 1_000_000)
    with august.reading() as book:
        kept = book.plans.find(ended.plan or 0)
    assert kept is not None
    assert kept.plan.runs == expanded(asked, problem(asked), best).runs


def test_what_breaks_off_is_tried_again(spring: DatabaseShelf, monkeypatch: pytest.MonkeyPatch):
    job = asked_for(spring, SPRING.week)
    replaced(monkeypatch, raising(EOFError()))
    assert Worker(spring, Event(), way=WAY).take()
    again = seen(spring, job.number)
    assert (again.state, again.tries, again.fault) == ("asked", 1, "broke off: EOFError")


def test_what_contradicts_itself_has_failed(spring: DatabaseShelf, monkeypatch: pytest.MonkeyPatch):
    job = asked_for(spring, SPRING.week)
    replaced(monkeypatch, raising(BrokenPromise("no table is free")))
    assert Worker(spring, Event(), way=WAY).take()
    ended = seen(spring, job.number)
    assert (ended.state, ended.fault, ended.plan) == ("failed", "no table is free", None)


def test_a_plan_that_breaks_a_rule_is_not_kept(
    spring: DatabaseShelf, monkeypatch: pytest.MonkeyPatch
):
    def at_fault(*given: Any, **more: Any) -> Any:
        return replace(lay_out(*given, **more), faults=(Fault(5, "one rack too many"),))

    job = asked_for(spring, SPRING.week)
    replaced(monkeypatch, at_fault)
    assert Worker(spring, Event(), way=WAY).take()
    ended = seen(spring, job.number)
    assert ended.state == "failed"
    assert "rule 5: one rack too many" in ended.fault
    with spring.reading() as book:
        assert book.plans.newest() is None
