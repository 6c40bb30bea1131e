"""Tries kept in a file: read again for the same weeks and steps, and for nothing else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from scheduler.domain.kitchen import Costs
from scheduler.replay.kept import mark_of, read_trials, write_trials
from scheduler.replay.suppose import Tries, part_done
from scheduler.replay.supposed import Trial
from tests.season.small import season

SEASON = season(3)
TRIALS = (
    Trial(SEASON.weeks[0].week, "dryer", 1, 1000, 1200, ((5, 30), (None, 4)), (("G1", 200),)),
    Trial(SEASON.weeks[1].week, "dryer", 1, 900, 900, (), ()),
)


def test_what_was_kept_is_read_again(tmp_path: Path):
    path, mark = tmp_path / "tries.json", mark_of(SEASON, 100)
    write_trials(path, mark, TRIALS)
    assert read_trials(path, mark) == TRIALS
    assert [each.name for each in tmp_path.iterdir()] == ["tries.json"]


def test_other_weeks_or_steps_have_another_mark():
    other = replace(SEASON, weeks=SEASON.weeks[:2])
    marks = {mark_of(SEASON, 100), mark_of(SEASON, 99), mark_of(other, 100)}
    assert len(marks) == 3
    assert mark_of(season(3), 100) == mark_of(SEASON, 100)


def test_of_other_weeks_nothing_is_read(tmp_path: Path):
    path = tmp_path / "tries.json"
    write_trials(path, mark_of(SEASON, 99), TRIALS)
    assert read_trials(path, mark_of(SEASON, 100)) == ()


def test_tries_that_do_not_say_for_whom_are_none(tmp_path: Path):
    """As they were once kept."""
    path = tmp_path / "tries.json"
    write_trials(path, "m", TRIALS)
    path.write_text(path.read_text(encoding="utf-8").replace('"gained"', '"other"'))
    assert read_trials(path, "m") == ()


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"mark": "m"}', '{"mark": "m", "trials": [1]}'])
def test_a_spoilt_file_is_as_none(tmp_path: Path, text: str):
    path = tmp_path / "tries.json"
    assert read_trials(path, "m") == ()
    path.write_text(text, encoding="utf-8")
    assert read_trials(path, "m") == ()


def test_part_done_by_hand():
    """Work of a week: notes squared where some wait, else notes; one more for each week."""
    tries = Tries((1, 2))
    works = [1 + len(week.asked.notes) ** (2 if week.plan.waiting else 1) for week in SEASON.weeks]
    assert any(week.plan.waiting for week in SEASON.weeks)
    assert part_done(SEASON, tries, ()) == 0
    assert part_done(SEASON, tries, TRIALS[:1]) == works[0] / sum(works) / 2
    every = [
        Trial(week.week, key, seed, 0, 0, (), ())
        for week in SEASON.weeks
        for seed in (1, 2, 3)  # a third try was not asked for
        for key in ("dryer", "steamer")
    ]
    assert part_done(SEASON, tries, every) == 1


def test_other_prices_spoil_no_tries():
    """What was tried stays true whatever a dryer costs; another kitchen is another mark."""
    week = SEASON.weeks[0]

    def marked(**otherwise: Any) -> str:
        asked = replace(week.asked, kitchen=replace(week.kitchen, **otherwise))
        changed = replace(week, posted=(replace(week.posted[-1], asked=asked),))
        return mark_of(replace(SEASON, weeks=(changed, *SEASON.weeks[1:])), 100)

    assert marked(costs=Costs(dryer=1)) == mark_of(SEASON, 100)
    assert marked(freezers=()) != mark_of(SEASON, 100)


def test_other_words_for_a_reason_spoil_no_tries():
    week = next(each for each in SEASON.weeks if each.plan.waiting)
    waiting = tuple(replace(each, reason="in other words") for each in week.plan.waiting)
    plan = replace(week.plan, waiting=waiting)
    changed = replace(week, posted=(replace(week.posted[-1], plan=plan),))
    weeks = tuple(changed if each is week else each for each in SEASON.weeks)
    assert mark_of(replace(SEASON, weeks=weeks), 100) == mark_of(SEASON, 100)
