"""Lay-outs are asked for whole, held by one worker at a time, and never lost; both queues alike."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime, time, timedelta
from pathlib import Path

import pytest
from sqlalchemy import inspect, text

from api.records.jobs import Job, Step
from api.services.asking import asked_of
from api.services.errors import NoSuchThing, NotAllowed, NotNow
from api.services.jobs import (
    MOST_STEPS,
    MOST_TRIES,
    Lost,
    SoFar,
    ask,
    asked_about,
    beat,
    claim,
    fail,
    finish,
    gone_on,
    hand_back,
    job_numbered,
    jobs,
    stop,
)
from api.settings import QUEUES, QueueName, Settings
from api.store import DatabaseShelf, open_shelf
from api.store.job_queue import OWN
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan, Proof
from scheduler.errors import BadInput
from scheduler.scenario import load
from scheduler.units import Grams
from tests.answer.posted import posted
from tests.api.lay_outs import asked_for, before, seen, shelf_with
from tests.book import GROWER, HAND, MANAGER, doing
from tests.shelves import FRIDAY

SPRING = load("spring_day")
LEASE = timedelta(seconds=20)
LATER = FRIDAY + LEASE + timedelta(seconds=1)
FOUND = SoFar(spent=4.0, worth_g=900, bound_g=1200, whiteboard_g=800, best={"runs": []})


@pytest.fixture(params=QUEUES)
def shelf(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[DatabaseShelf]:
    with shelf_with("spring_day", tmp_path, request.param) as (found, _):
        yield found


@pytest.fixture(scope="module")
def plan() -> Plan:
    return posted(SPRING)


def claimed(shelf: DatabaseShelf, worker: str = "one", at=FRIDAY) -> Job | None:
    with shelf.working() as waiting:
        return claim(waiting, worker, at=at, lease=LEASE)


def held(shelf: DatabaseShelf, worker: str = "one", at=FRIDAY) -> Job:
    found = claimed(shelf, worker, at)
    assert found is not None
    return found


def handed_out(shelf: DatabaseShelf) -> int:
    """How many procrastinate knows of."""
    with shelf.engine.connect() as connection:
        if not inspect(connection).has_table("procrastinate_jobs"):
            return 0
        return connection.scalar(text("SELECT count(*) FROM procrastinate_jobs")) or 0


def test_asking_is_kept_with_all_else_or_not_at_all(shelf: DatabaseShelf):
    def halfway() -> None:
        with shelf.writing() as book:
            ask(book, doing(MANAGER, before(SPRING.week)), SPRING.week)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        halfway()
    assert claimed(shelf) is None
    assert handed_out(shelf) == 0
    with shelf.reading() as book:
        assert [each for each in book.deeds.where() if each.act == "lay out"] == []


def test_what_is_asked_is_kept_as_it_stood(shelf: DatabaseShelf):
    job = asked_for(shelf, SPRING.week, seconds=12)
    assert (job.state, job.seconds, job.asked_by, job.gap) == ("asked", 12, "lotte", None)
    with shelf.reading() as book:
        found, stood = asked_about(book.jobs, job), asked_of(book, SPRING.week, now=job.asked_at)
    assert replace(found, notes=stood.notes) == stood
    assert set(found.notes) == set(stood.notes)  # in order of turn
    assert handed_out(shelf) == (shelf.queue is not OWN)


def test_only_who_may_lay_out_may_ask_or_look(shelf: DatabaseShelf):
    with shelf.writing() as book:
        for person in (HAND, GROWER):
            with pytest.raises(NotAllowed):
                ask(book, doing(person), SPRING.week)
            with pytest.raises(NotAllowed):
                jobs(book, doing(person), week=None, after=None, limit=10)
        with pytest.raises(NotNow, match="no note"):
            ask(book, doing(MANAGER), Week(2027, 1))
        with pytest.raises(NoSuchThing):
            job_numbered(book, doing(MANAGER), 77)


def test_a_week_that_is_over_is_not_laid_out(shelf: DatabaseShelf):
    """Until the end of its Sunday by the kitchen's clock it may be."""
    sunday = datetime.combine(SPRING.week.days[-1], time(23, 59), SPRING.kitchen.zone)
    later = sunday + timedelta(minutes=1)
    with shelf.writing() as book:
        with pytest.raises(NotNow, match=f"{SPRING.week} is over.*Carry over"):
            ask(book, doing(MANAGER, later), SPRING.week)
        with pytest.raises(NotAllowed):
            ask(book, doing(HAND, later), SPRING.week)
        assert ask(book, doing(MANAGER, sunday), SPRING.week).week == SPRING.week


def test_the_first_that_was_asked_is_the_first_that_is_done(shelf: DatabaseShelf):
    first, second = (asked_for(shelf, SPRING.week) for _ in range(2))
    one, two = held(shelf, "one"), held(shelf, "two")
    assert [one.number, two.number] == [first.number, second.number]
    assert (one.worker, one.tries, one.lease_until) == ("one", 1, FRIDAY + LEASE)
    assert claimed(shelf, "three") is None


def test_no_two_workers_ever_hold_the_same_one(shelf: DatabaseShelf):
    wanted = {asked_for(shelf, SPRING.week).number for _ in range(12)}

    def all_i_can_get(worker: int) -> list[int]:
        return [job.number for job in iter(lambda: claimed(shelf, f"worker {worker}"), None)]

    with ThreadPoolExecutor(6) as pool:
        got = [number for numbers in pool.map(all_i_can_get, range(6)) for number in numbers]
    assert sorted(got) == sorted(wanted)


def test_a_lay_out_whose_lease_ran_out_is_another_workers_with_its_best(
    shelf: DatabaseShelf, plan: Plan
):
    asked_for(shelf, SPRING.week)
    lost = held(shelf, "one")
    with shelf.working() as waiting:
        beat(waiting, lost, until=FRIDAY + LEASE, so_far=FOUND)
    assert claimed(shelf, "two", FRIDAY + LEASE) is None  # to the second
    other = held(shelf, "two", LATER)
    assert (other.number, other.tries, other.worth_g, other.spent) == (lost.number, 2, 900, 4.0)
    with shelf.reading() as book:
        assert book.jobs.best(other.number) == {"runs": []}
    with shelf.working() as waiting, pytest.raises(Lost):
        beat(waiting, lost, until=LATER + LEASE, so_far=None)
    with pytest.raises(Lost), shelf.writing() as book:
        finish(book, lost, SPRING, plan, at=LATER, stopped=False)
    with shelf.reading() as book:
        assert book.plans.newest() is None
    assert seen(shelf, other.number) == other


def test_a_beat_holds_the_lease(shelf: DatabaseShelf):
    asked_for(shelf, SPRING.week)
    job = held(shelf)
    with shelf.working() as waiting:
        assert not beat(waiting, job, until=LATER + LEASE, so_far=FOUND)
        assert not beat(waiting, job, until=LATER + LEASE, so_far=None)
    assert claimed(shelf, "two", LATER) is None
    now = seen(shelf, job.number)
    assert (now.worth_g, now.bound_g, now.gap, now.spent) == (900, 1200, 0.25, 4.0)


def test_the_plan_and_the_end_are_kept_together(shelf: DatabaseShelf, plan: Plan):
    asked_for(shelf, SPRING.week)
    job = held(shelf)
    with shelf.writing() as book:
        number = finish(book, job, SPRING, plan, at=LATER, stopped=False)
    ended = seen(shelf, job.number)
    assert (ended.state, ended.plan, ended.ended_at, ended.worker) == ("done", number, LATER, "")
    with shelf.reading() as book:
        kept = book.plans.find(number)
        assert book.jobs.best(job.number) is None
        placed = {charge.note_id for _, charge in plan.charges()}
        assert {each.id for each in book.notes.where(state="pencilled")} == placed
    assert kept is not None
    assert (kept.state, kept.origin) == ("pencilled", job.origin)
    assert claimed(shelf, "two", LATER + LEASE) is None


def test_what_nobody_has_begun_stops_at_once(shelf: DatabaseShelf):
    job = asked_for(shelf, SPRING.week)
    with shelf.writing() as book:
        stopped = stop(book, doing(MANAGER), job.number)
        assert stop(book, doing(MANAGER), job.number) == stopped
    assert (stopped.state, stopped.plan, stopped.ended_at) == ("stopped", None, FRIDAY)
    assert claimed(shelf) is None


def test_who_is_at_work_hears_that_it_is_to_stop(shelf: DatabaseShelf):
    asked_for(shelf, SPRING.week)
    job = held(shelf)
    with shelf.writing() as book:
        assert stop(book, doing(MANAGER), job.number).state == "claimed"
    with shelf.working() as waiting:
        assert beat(waiting, job, until=LATER, so_far=None)
        fail(waiting, job, "broken", at=LATER)
    with shelf.writing() as book, pytest.raises(NotNow, match="is failed"):
        stop(book, doing(MANAGER), job.number)


def test_what_was_begun_and_handed_back_is_stopped_with_its_best(shelf: DatabaseShelf):
    asked_for(shelf, SPRING.week)
    job = held(shelf)
    with shelf.working() as waiting:
        hand_back(waiting, job, FOUND)
    with shelf.writing() as book:
        stop(book, doing(MANAGER), job.number)
    again = held(shelf, "two")
    assert (again.tries, again.stop_wanted, again.worth_g) == (1, True, 900)


def test_one_that_costs_every_worker_is_given_up(shelf: DatabaseShelf):
    job = asked_for(shelf, SPRING.week)
    for each in range(MOST_TRIES):
        held(shelf, f"worker {each}", FRIDAY + 2 * each * LEASE)
    assert claimed(shelf, "the last", FRIDAY + 2 * MOST_TRIES * LEASE) is None
    ended = seen(shelf, job.number)
    assert ended.state == "failed"
    assert "workers were lost" in ended.fault


def test_lay_outs_are_told_in_order_of_asking(shelf: DatabaseShelf):
    numbers = [asked_for(shelf, SPRING.week).number for _ in range(3)]
    with shelf.reading() as book:
        told = jobs(book, doing(MANAGER), week=SPRING.week, after=numbers[0], limit=1)
        none = jobs(book, doing(MANAGER), week=Week(2027, 1), after=None, limit=9)
    assert [each.number for each in told] == [numbers[1]]
    assert none == ()


@pytest.mark.parametrize(("text", "queue"), [("", "own"), ("procrastinate", "procrastinate")])
def test_the_environment_names_the_queue(text: str, queue: QueueName):
    assert Settings.of({"COMMONRACK_QUEUE": text}).queue == queue


def test_a_queue_that_cannot_be_is_refused(tmp_path: Path):
    with pytest.raises(BadInput, match="no queue"):
        Settings.of({"COMMONRACK_QUEUE": "post"})
    with pytest.raises(BadInput, match="PostgreSQL"):
        open_shelf(f"sqlite:///{tmp_path / 'book.sqlite'}", queue="procrastinate")


def test_its_course_is_kept_up_to_its_end(shelf: DatabaseShelf, plan: Plan):
    asked_for(shelf, SPRING.week)
    job, begun = held(shelf), Step(1.0, 900, 2_000_000)
    with shelf.working() as waiting:
        beat(waiting, job, until=LATER, so_far=replace(FOUND, course=(begun,)))
    assert seen(shelf, job.number).course == (begun,)
    proof = Proof(plan.worth_g, Grams(plan.worth_g + 5), Grams(1))
    with shelf.writing() as book:
        finish(book, job, SPRING, replace(plan, proof=proof), at=FRIDAY, stopped=False)
    assert seen(shelf, job.number).course == (begun, Step(4.0, plan.worth_g, plan.worth_g + 5))


def test_a_course_has_only_news_and_never_grows_too_long():
    course: tuple[Step, ...] = ()
    for second in range(1000):
        course = gone_on(course, Step(second, second // 2, 1000))
        assert len(course) <= MOST_STEPS
    assert course[-1] == Step(998, 499, 1000)
    assert [each.worth_g for each in course] == sorted({each.worth_g for each in course})
