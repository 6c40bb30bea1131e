"""Workers are killed in the middle of their work: every lay-out is finished, and once."""

from __future__ import annotations

import os
import signal
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from api.records.jobs import Job
from api.services.jobs import SoFar, asked_about, beat, claim
from api.settings import QUEUES, QueueName
from api.store import DatabaseShelf
from scheduler.plan_file import value_to_json
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.worth import worth
from tests.api.lay_outs import asked_for, seen, shelf_with
from tests.api.workers import LEASE_S, holder, once, workers
from tests.drafts import better_draft

AUGUST = load("august")
MOST_AFTER = timedelta(seconds=10)


def with_a_saved_best(shelf: DatabaseShelf, number: int) -> int:
    """As if a worker had been lost over it before: the worth of what that one left."""
    with shelf.reading() as book:
        week = problem(asked_about(book.jobs, seen(shelf, number)))
    best = better_draft(week)
    worth_g = worth(week, best)
    found = SoFar(0.5, worth_g, 1_250_000, 1, value_to_json(best))
    long_ago, lease = datetime(2026, 8, 1, tzinfo=UTC), timedelta(seconds=LEASE_S)
    with shelf.working() as jobs:
        job = claim(jobs, "lost-0-0", at=long_ago, lease=lease, number=number)
        assert job is not None
        beat(jobs, job, until=long_ago + lease, so_far=found)
    return worth_g


@pytest.mark.slow
@pytest.mark.parametrize("queue", QUEUES)
def test_another_finishes_soon_and_no_worse_than_the_saved_best(tmp_path: Path, queue: QueueName):
    with shelf_with("august", tmp_path, queue) as (shelf, url):
        number = asked_for(shelf, AUGUST.week, seconds=6).number
        saved = with_a_saved_best(shelf, number)
        with workers(2, url, queue) as found:
            once(lambda: seen(shelf, number).spent > 3)
            killed = seen(shelf, number)
            os.kill(holder(killed), signal.SIGKILL)
            found[holder(killed)].wait()
            last = seen(shelf, number)
            assert last.state == "claimed"
            once(lambda: seen(shelf, number).state == "done")
        ended = seen(shelf, number)
        with shelf.reading() as book:
            assert book.plans.numbers_of(AUGUST.week) == (ended.plan,)
            kept = book.plans.find(ended.plan or 0)
    assert kept is not None
    assert kept.plan.worth_g >= (last.worth_g or 0) >= saved
    assert ended.tries == last.tries + 1
    assert ended.ended_at is not None
    assert last.lease_until is not None
    assert ended.ended_at - last.lease_until < MOST_AFTER


def under_way(shelf: DatabaseShelf) -> Job:
    """One that is claimed just now, as soon as there is one."""
    found: list[Job] = []

    def claimed() -> bool:
        with shelf.reading() as book:
            found.extend(book.jobs.where(state="claimed"))
        return bool(found)

    once(claimed)
    return found[0]


@pytest.mark.slow
@pytest.mark.parametrize("queue", QUEUES)
def test_twenty_lay_outs_are_each_finished_once(tmp_path: Path, queue: QueueName):
    with shelf_with("august", tmp_path, queue) as (shelf, url):
        numbers = [asked_for(shelf, AUGUST.week, seconds=1).number for _ in range(20)]

        def ended() -> int:
            return sum(seen(shelf, number).state == "done" for number in numbers)

        with workers(2, url, queue) as found:
            once(lambda: ended() >= 5)
            killed = holder(under_way(shelf))
            os.kill(killed, signal.SIGKILL)
            found[killed].wait()
            once(lambda: ended() == 20, within=180)
        plans = {seen(shelf, number).plan for number in numbers}
        with shelf.reading() as book:
            assert sorted(book.plans.numbers_of(AUGUST.week)) == sorted(each or 0 for each in plans)
    assert len(plans) == 20
