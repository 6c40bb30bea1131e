"""demo season: an empty book gets a season that its pages show; any other book stays as it is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from api.settings import DATABASE_URL
from scheduler.replay.season import invented_season
from scheduler.season.records import Season
from tests.databases import fresh_url
from web import season_book
from web.command import app

runner = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1"})
LAID_OUT: list[int] = []


def short(seed: int) -> Season:
    LAID_OUT.append(seed)
    return invented_season(seed, steps=0, weeks=3)


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    with fresh_url(tmp_path) as url:
        monkeypatch.setenv(DATABASE_URL, url)
        monkeypatch.setattr(season_book, "invented", short)
        LAID_OUT.clear()
        yield url


def test_an_empty_book_gets_the_season(book: str):
    done = runner.invoke(app, ["demo", "season", "--seed", "3"])
    assert done.exit_code == 0, done.output
    assert "/board/season" in done.output
    assert LAID_OUT == [3]
    told = runner.invoke(app, ["board", "2026-W14", "2026-W16"])
    assert told.output.count('"week"') == 3
    lots = sum(len(week.lots) for week in short(3).weeks)
    trail = runner.invoke(app, ["board", "2026", "--out", "paper"])
    assert trail.exit_code == 0, trail.output
    rows = Path("paper/tables/lots.csv").read_text(encoding="utf-8").splitlines()
    assert len(rows) == 1 + lots > 1


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_a_book_with_a_kitchen_is_left_as_it_is(book: str):
    assert runner.invoke(app, ["take-in", "spring_day"]).exit_code == 0
    done = runner.invoke(app, ["demo", "season"])
    assert done.exit_code == 2
    assert "holds a kitchen already" in done.output
    assert LAID_OUT == []
    assert "N14-01" not in runner.invoke(app, ["notes", "2026-W14"]).output
