"""What the board might buy, tried at the command line: whoever stops it loses no try."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from scheduler.replay.kept import mark_of, read_trials
from scheduler.replay.suppose import Tries, suppose
from scheduler.replay.supposed import Trial
from tests.season.small import season
from web import board_tries
from web.board_tries import KEPT, tried

SEASON, TRIES = season(3, length=2), Tries((1, 2), 2, 1)


@pytest.fixture
def stops_after(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Ctrl-C after so many tries, where there is a number; known tries are added to it."""
    at: list[int] = []

    def suppose_and_stop(*args: Any, told: Any, known: tuple[Trial, ...]) -> Any:
        stop, known_weeks = at.pop(), len({(each.week, each.seed) for each in known})
        at.append(known_weeks)

        def heard(done: int, of: int, trials: tuple[Trial, ...]) -> None:
            told(done, of, trials)
            if done == stop:
                raise KeyboardInterrupt

        return suppose(*args, told=heard, known=known)

    monkeypatch.setattr(board_tries, "suppose", suppose_and_stop)
    return at


def test_whoever_stops_goes_on_from_there(
    tmp_path: Path, stops_after: list[int], capsys: pytest.CaptureFixture[str]
):
    out = tmp_path / "paper"
    stops_after.append(3)
    with pytest.raises(KeyboardInterrupt):
        tried(SEASON, TRIES, out)
    assert "3 of 4 tries are kept in" in capsys.readouterr().err
    kept = read_trials(out / KEPT, mark_of(SEASON, TRIES.steps))
    assert len({(each.week, each.seed) for each in kept}) == 3
    stops_after[0] = 99
    options, asked_of = tried(SEASON, TRIES, out)
    assert stops_after == [3]
    stops_after[0] = 99
    assert tried(SEASON, TRIES, None) == (options, asked_of)
    assert stops_after == [0]


def test_without_a_folder_nothing_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    tried(SEASON, Tries((1,), 1, 1), None)
    assert not list(tmp_path.iterdir())
