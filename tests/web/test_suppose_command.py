"""suppose at the command line: what it comes to is printed, and nothing is kept of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from typer.testing import CliRunner

from api.services.posting import post
from api.services.taking_in import take_in
from api.settings import DATABASE_URL
from api.store import open_shelf
from api.worker import Worker
from tests.answer.posted import posted
from tests.api.test_promises import laid_out
from tests.book import MANAGER, doing
from tests.databases import fresh_url
from tests.served import AUGUST, WEEK
from tests.shelves import FRIDAY
from web.command import app

runner = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1"})


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """August taken in and posted."""
    with fresh_url(tmp_path_factory.mktemp("suppose")) as url:
        shelf = open_shelf(url)
        with shelf.writing() as book:
            take_in(book, doing(MANAGER), AUGUST)
            post(book, doing(MANAGER), laid_out(book, posted(AUGUST)))
        shelf.close()
        yield url


@pytest.fixture(autouse=True)
def here(database: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("api.cli.desk.now", lambda: FRIDAY)
    monkeypatch.setenv(DATABASE_URL, database)


def say(*words: str, code: int = 0) -> str:
    result = runner.invoke(app, ["suppose", *words])
    assert result.exit_code == code, result.output
    return result.output


def test_a_station_more(database: str):
    told = say("week", WEEK, "dryer", "--seconds", "3")
    assert "as it is" in told
    assert "as supposed" in told
    assert "No plan can have more than" in told
    assert "it would cost about 25.71 USD (source of prices: demo (Corrowell Valley))." in told
    assert told.endswith("Only supposed: the plan stands as it is.\n")
    shelf = open_shelf(database)
    with shelf.reading() as book:
        assert book.plans.numbers_of(AUGUST.week) == (1,)
    shelf.close()


def test_what_another_worker_was_quicker_to_take_is_waited_for(monkeypatch: pytest.MonkeyPatch):
    take = Worker.take

    def too_late(self: Worker, number: int | None = None) -> bool:
        assert take(self, number) or number is not None
        return False

    monkeypatch.setattr(Worker, "take", too_late)
    assert "as supposed" in say("week", WEEK, "table", "--seconds", "1.5")


def test_a_dryer_down_names_who_could_not_stay():
    run = posted(AUGUST).runs[0]
    zone = AUGUST.kitchen.zone
    start, end = (f"{each.astimezone(zone):%FT%R}" for each in (run.start, run.end))
    told = say("down", run.dryer_id, start, end, "--seconds", "3")
    assert f"{run.charges[0].note_id} could not stay" in told


def test_what_cannot_be_supposed_is_told():
    assert "one of: dryer" in say("week", WEEK, "barn", code=2)
    assert "at least one that is otherwise" in say("note", "R02", code=2)
    assert "no note R99" in say("note", "R99", "--kg", "5", code=2)
    assert "must be after FROM" in say("down", "D1", "2026-08-19T11:00", "2026-08-19T10:00", code=2)
