"""Suppose for the board: asked by the year, tried week by week behind all else, in the paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from api import worker as worker_module
from api.records.jobs import Job, SupposingSeason
from api.services.board_suppositions import (
    ask_season,
    in_the_paper,
    season_supposed,
    seasons_supposed,
    stop_season,
)
from api.services.errors import NoSuchThing, NotAllowed, NotNow
from api.services.jobs import ask
from api.services.posting import post
from api.services.taking_in import take_in
from api.store import DatabaseShelf
from api.worker import Way, Worker
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput, NoSuchPlan
from scheduler.replay.suppose import Tries, suppose
from scheduler.scenario import load
from tests.api.test_promises import laid_out
from tests.book import BOARD, GROWER, HAND, MANAGER, doing
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
NOW = doing(MANAGER)
BEA = doing(BOARD)
WAY = Way(lease=timedelta(seconds=30), explain_seconds=0, climbers=1)
AFTER = FRIDAY + timedelta(weeks=2)


@pytest.fixture
def shelf(tmp_path: Path, plan: Plan) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path) as found:
        with found.writing() as book:
            take_in(book, NOW, AUGUST)
            post(book, NOW, laid_out(book, plan))
        yield found


@pytest.fixture(autouse=True)
def few_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """A hundred steps a week are for seasons, not for tests."""

    def quickly(season: Any, changes: Any, tries: Tries, **more: Any) -> Any:
        return suppose(season, changes, replace(tries, steps=1), **more)

    monkeypatch.setattr(worker_module, "suppose", quickly)


def asked(shelf: DatabaseShelf, *changes: str, tries: int = 1) -> int:
    with shelf.writing() as book:
        return ask_season(book, BEA, 2026, changes or ("dryer",), tries=tries).number


def take(shelf: DatabaseShelf) -> bool:
    return Worker(shelf, Event(), way=WAY, clock=lambda: AFTER).take()


def told(shelf: DatabaseShelf, number: int) -> tuple[Job, SupposingSeason]:
    with shelf.reading() as book:
        return season_supposed(book, BEA, number)


def test_what_it_comes_to_stands_in_the_paper(shelf: DatabaseShelf):
    number = asked(shelf, "dryer", "steamer", tries=2)
    with shelf.reading() as book:
        assert in_the_paper(book, BEA, 2026) is None
    assert take(shelf)
    job, season = told(shelf, number)
    assert (job.state, job.plan, job.fault, season.done, season.of) == ("done", None, "", 2, 2)
    assert season.options[0].running.endswith(" USD")
    assert [each.name for each in season.options] == ["One more dryer", "One more steamer"]
    assert all(each.saved_g >= 0 for each in season.options)
    assert "in 2 tries" in season.options[0].sure
    assert season.verdict.startswith(("One more dryer would", "Nothing of what was tried would"))
    with shelf.reading() as book:
        assert in_the_paper(book, BEA, 2026) == job
        assert in_the_paper(book, BEA, 2025) is None
        assert [each.number for each in seasons_supposed(book, BEA, 2026)] == [number]
        assert book.plans.numbers_of(AUGUST.week) == (1,)


def test_all_else_that_is_asked_for_goes_first(shelf: DatabaseShelf):
    """Asked for before, and again while it is tried: what was tried by then is not lost."""
    number = asked(shelf, tries=2)
    with shelf.writing() as book:
        mine = ask(book, NOW, AUGUST.week, seconds=1).number
    with shelf.working() as jobs:
        first = jobs.claim("somebody", at=AFTER, until=AFTER + timedelta(minutes=1))
    assert first is not None
    assert first.number == mine
    with shelf.writing() as book:
        ask(book, NOW, AUGUST.week, seconds=1)
    assert Worker(shelf, Event(), way=WAY, clock=lambda: AFTER).take(number)
    job, season = told(shelf, number)
    assert (job.state, job.tries) == ("asked", 0)
    assert season.done == 0  # it gave way before anything was tried
    with shelf.working() as jobs:
        second = jobs.claim("somebody", at=AFTER, until=AFTER + timedelta(minutes=1))
    assert second is not None
    assert take(shelf)  # nobody waits any longer
    assert told(shelf, number)[0].state == "done"


def test_another_worker_goes_on_with_what_was_tried(
    shelf: DatabaseShelf, monkeypatch: pytest.MonkeyPatch
):
    number = asked(shelf, tries=2)
    known: list[int] = []
    ending = Event()

    def leaving(season: Any, changes: Any, tries: Tries, **more: Any) -> Any:
        known.append(len(more["known"]))

        def heard(done: int, of: int, trials: Any) -> None:
            if done == 1:
                ending.set()  # this worker is going
            more["told"](done, of, trials)

        how = {**more, "told": heard}
        return suppose(season, changes, replace(tries, steps=1), **how)

    monkeypatch.setattr(worker_module, "suppose", leaving)
    assert Worker(shelf, ending, way=WAY, clock=lambda: AFTER).take()
    job, season = told(shelf, number)
    assert (job.state, season.done, season.of) == ("asked", 1, 2)
    assert season.left_s is not None  # by what one try took
    assert take(shelf)
    assert known == [0, 1]
    assert told(shelf, number)[0].state == "done"


def test_stopped_nothing_of_it_is_kept(shelf: DatabaseShelf):
    number = asked(shelf)
    with shelf.working() as jobs:
        jobs.want_stop(number)
    assert take(shelf)
    job, season = told(shelf, number)
    assert (job.state, season.options) == ("stopped", ())
    unbegun = asked(shelf)
    with shelf.writing() as book:
        stop_season(book, BEA, unbegun)
        assert in_the_paper(book, BEA, 2026) is None
    assert told(shelf, unbegun)[0].state == "stopped"


def test_it_is_the_boards_and_the_managers(shelf: DatabaseShelf):
    number = asked(shelf)
    with shelf.writing() as book:
        for person in (HAND, GROWER):
            with pytest.raises(NotAllowed):
                ask_season(book, doing(person), 2026, ("dryer",))
            with pytest.raises(NotAllowed):
                season_supposed(book, doing(person), number)
        assert season_supposed(book, NOW, number)[0].number == number


def test_what_cannot_be_tried_is_not_asked_for(shelf: DatabaseShelf):
    with shelf.writing() as book:
        with pytest.raises(BadInput, match="at least one"):
            ask_season(book, BEA, 2026, ())
        with pytest.raises(BadInput, match="dryer is named 2 times"):
            ask_season(book, BEA, 2026, ("dryer", "steamer", "dryer"), tries=1)
        with pytest.raises(BadInput, match="nothing called barn"):
            ask_season(book, BEA, 2026, ("barn",))
        with pytest.raises(NoSuchPlan, match="no week of 2025"):
            ask_season(book, BEA, 2025, ("dryer",))
        ask_season(book, BEA, 2026, ("dryer",))
        with pytest.raises(NotNow, match="is being tried"):
            ask_season(book, NOW, 2026, ("steamer",))
        mine = ask(book, NOW, AUGUST.week).number
        with pytest.raises(NoSuchThing):
            season_supposed(book, BEA, mine)
