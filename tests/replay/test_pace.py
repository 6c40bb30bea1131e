"""How long it still takes: by the work that is done, not by what was known before."""

from __future__ import annotations

import time

import pytest

from scheduler.replay.pace import Pace
from scheduler.replay.suppose import Tries, part_done
from scheduler.replay.supposed import Trial
from tests.season.small import season

SEASON, TRIES = season(3), Tries((1,))
FIRST, SECOND, LAST = (Trial(each.week, "dryer", 1, 0, 0, (), ()) for each in SEASON.weeks)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    at = [100.0]
    monkeypatch.setattr(time, "monotonic", lambda: at[0])
    return at


def test_as_long_a_part_of_the_work_as_before(clock: list[float]):
    pace = Pace(SEASON, TRIES, begin=clock[0])
    clock[0] += 60
    done = part_done(SEASON, TRIES, [FIRST])
    assert 0 < done < 1
    assert pace.left_s([FIRST]) == round(60 * (1 - done) / done)
    assert pace.left_s([FIRST, SECOND, LAST]) == 0


def test_nothing_is_told_before_anything_is_done():
    assert Pace(SEASON, TRIES).left_s([]) is None
    assert Pace(SEASON, TRIES, (FIRST,)).left_s([FIRST]) is None


def test_what_was_known_took_no_time(clock: list[float]):
    pace = Pace(SEASON, TRIES, (FIRST,), begin=clock[0])
    clock[0] += 60
    before, now = (part_done(SEASON, TRIES, each) for each in ([FIRST], [FIRST, SECOND]))
    assert pace.left_s([FIRST, SECOND]) == round(60 * (1 - now) / (now - before))
