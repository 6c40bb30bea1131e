"""A posted plan is mended: asked for, found by a worker, both ways shown, one posted."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from threading import Event

import pytest

from api.services.errors import NoSuchThing, NotAllowed, NotNow
from api.services.jobs import ask, asked_about, claim
from api.services.mends import Mended, ask_mend, mended, mends
from api.services.night_lines import Wrote, write_night_log
from api.services.outages import down, up
from api.services.plans import plan_of
from api.services.posting import OnPurpose, post
from api.services.suppositions import ask_suppose
from api.services.taking_in import take_in
from api.store import DatabaseShelf
from api.worker import Way, Worker
from scheduler.domain.plan import Plan
from scheduler.domain.supposition import Supposition
from scheduler.scenario import load
from tests.api.test_promises import laid_out
from tests.book import GROWER, HAND, MANAGER, doing
from tests.shelves import fresh_shelf

AUGUST = load("august")
TUESDAY = datetime.fromisoformat("2026-08-18T07:30-04:00")
BACK = datetime.fromisoformat("2026-08-20T12:00-04:00")


@pytest.fixture
def shelf(tmp_path: Path, plan: Plan) -> Iterator[DatabaseShelf]:
    """Posted; D3 has stopped on Tuesday at 07:30, after it was emptied, until Thursday noon."""
    with fresh_shelf(tmp_path) as found:
        with found.writing() as book:
            take_in(book, doing(MANAGER), AUGUST)
            post(book, doing(MANAGER), laid_out(book, plan))
            stop = down(book, doing(HAND, TUESDAY), "D3", stopped=TUESDAY, cause="fan")
            up(book, doing(HAND, TUESDAY), stop.number, version=stop.version, back=BACK)
        yield found


def worked(shelf: DatabaseShelf) -> Mended:
    with shelf.writing() as book:
        job = ask_mend(book, doing(HAND, TUESDAY), AUGUST.week, seconds=2)
        with pytest.raises(NotNow, match="under way"):
            ask_mend(book, doing(HAND, TUESDAY), AUGUST.week)
    way = Way(lease=timedelta(seconds=30), explain_seconds=0, climbers=1)
    Worker(shelf, Event(), way=way, clock=lambda: TUESDAY).take()
    with shelf.reading() as book:
        return mended(book, doing(MANAGER, TUESDAY), job.number)


def test_a_mend_goes_before_what_is_laid_out_and_that_before_what_is_supposed(
    shelf: DatabaseShelf,
):
    with shelf.writing() as book:
        by = doing(MANAGER, TUESDAY)
        supposed = ask_suppose(book, by, AUGUST.week, Supposition("table"), seconds=30).number
        laid_out_anew = ask(book, by, AUGUST.week).number
        mend = ask_mend(book, by, AUGUST.week).number
    taken = []
    for _ in range(3):
        with shelf.working() as jobs:
            found = claim(jobs, "one", at=TUESDAY, lease=timedelta(hours=1))
        assert found is not None
        taken.append(found.number)
    assert taken == [mend, laid_out_anew, supposed]


def test_both_ways_are_found_and_one_is_posted(shelf: DatabaseShelf):
    found = worked(shelf)
    assert (found.job.state, found.job.fault) == ("done", "")
    (name, first), *_ = found.ways
    assert name == found.mend.proposed
    assert found.mend.why
    moved = {each.note_id for each in first.moves}
    assert "R09" in moved | set(first.lost)  # 40 racks that only the cart dryer has
    later = doing(MANAGER, TUESDAY + timedelta(minutes=4))
    with shelf.writing() as book:
        before = {each.uid: each.turn.span.start for each in book.turns.where(week=AUGUST.week)}
        done = post(book, later, first.plan, purpose=OnPurpose(moving=True))
        assert plan_of(book, AUGUST.week).number == first.plan
        now = {each.uid: each.turn for each in book.turns.where(week=AUGUST.week)}
        changed = {turn.note_id for uid, turn in now.items() if before.get(uid) != turn.span.start}
        assert changed <= moved | set(first.lost) | set(first.gained)
        assert {each.grower_id for each in done.messages} >= {
            AUGUST.note(each).grower_id for each in changed
        }
        assert [each.number for each in mends(book, later, AUGUST.week)] == [found.job.number]


def test_it_is_asked_for_by_the_kitchen_of_a_posted_week(shelf: DatabaseShelf):
    with shelf.writing() as book:
        with pytest.raises(NotAllowed):
            ask_mend(book, doing(GROWER, TUESDAY), AUGUST.week)
        week = type(AUGUST.week)(2026, 36)
        with pytest.raises(NotNow, match="no plan of 2026-W36 is posted"):
            ask_mend(book, doing(HAND, TUESDAY), week)
        with pytest.raises(NoSuchThing):
            mended(book, doing(HAND, TUESDAY), 99)


def test_a_mend_starts_from_the_night_log(shelf: DatabaseShelf, plan: Plan):
    run = next(each for each in plan.runs if each.dryer_id != "D3" and each.start > TUESDAY)
    stopped, code = run.start + timedelta(hours=1), run.charges[0].code
    late = stopped + timedelta(minutes=30)
    with shelf.writing() as book:
        stop = down(book, doing(HAND, stopped), run.dryer_id, stopped=stopped)
        write_night_log(book, doing(HAND, late), stop.number, Wrote(code, "into the cold"))
        job = ask_mend(book, doing(HAND, late + timedelta(minutes=5)), AUGUST.week)
        told = asked_about(book.jobs, job).promised.plan
    assert told
    (part,) = told.part_lots
    assert (part.code, part.racks) == (code, run.charges[0].racks)
    assert part.held
    assert timedelta() <= part.held.since - late < timedelta(minutes=5)
