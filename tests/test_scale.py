"""Lay-outs of growing size: what is asked, what is measured, what is drawn."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console
from typer.testing import CliRunner

from scheduler import scale
from scheduler.cli import app
from scheduler.planning import Limits
from scheduler.scale import AXES, PEAK, Grown, Size, grown
from scheduler.terminal.scaling import scale_table
from scheduler.weeks import week_of_size

LITTLE = Size(lots=6, dryers=2, days=2)
MEASURED = Grown("lots", LITTLE, 0.1, 2.0, 0.25, 300.0)


@pytest.mark.parametrize("size", [LITTLE, Size(500, 40, 6), Size(10, 8, 1)])
def test_a_week_is_of_the_size_that_is_asked_for(size: Size) -> None:
    asked = week_of_size(3, lots=size.lots, dryers=size.dryers, days=size.days)
    assert (len(asked.notes), len(asked.kitchen.dryers)) == (size.lots, size.dryers)
    assert {note.arrives.date() for note in asked.notes} <= set(asked.week.days[: size.days])
    assert {note.grower_id for note in asked.notes} <= {each.id for each in asked.growers}


def test_one_number_grows_at_a_time() -> None:
    for axis, sizes in AXES.items():
        assert [getattr(each, axis) for each in sizes] == sorted(getattr(e, axis) for e in sizes)
        assert {replace(each, **{axis: getattr(PEAK, axis)}) for each in sizes} == {PEAK}


def test_a_little_week_is_measured_once_and_told_on_every_axis() -> None:
    limits = Limits(seconds=None, work=1, workers=1)
    lots, days = grown(limits, {"lots": [LITTLE], "days": [LITTLE]})
    assert (lots.axis, lots.at, days.axis, days.at) == ("lots", 6, "days", 2)
    assert replace(lots, axis="days") == days
    assert lots.faults == ()
    assert 0 <= lots.gap <= 1
    assert lots.mib > 50  # the solver's library alone is as large
    assert lots.bound_s is None or lots.bound_s >= lots.first_plan_s


def test_ten_times_as_much_is_a_bar_that_is_longer_by_a_step() -> None:
    slow = replace(MEASURED, size=replace(LITTLE, lots=60), first_plan_s=1.0, bound_s=None)
    screen = Console(width=120, file=StringIO())
    screen.print(scale_table([MEASURED, slow, replace(slow, axis="dryers")]))
    assert isinstance(screen.file, StringIO)
    _, quick_line, slow_line, empty, other, *_ = screen.file.getvalue().splitlines()
    assert quick_line.split()[:4] == ["6", "lots", "0.1", "\u2588" * 4]
    assert slow_line.split()[:5] == ["60", "lots", "1", "\u2588" * 8, "none"]
    assert empty.split() == []
    assert other.split()[:2] == ["2", "dryers"]


def test_the_command_tells_draws_and_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def measured(*_: Any) -> Iterator[Grown]:
        yield replace(MEASURED, faults=("rule 9: cut too early",))

    monkeypatch.setattr(scale, "grown", measured)
    path = tmp_path / "scale.json"
    result = CliRunner(env={"COLUMNS": "160", "NO_COLOR": "1"}).invoke(
        app, ["bench", "--suite", "scale", "--seconds", "5", "--json", str(path)]
    )
    assert result.exit_code == 1, result.output
    assert "6 lots" in result.stdout
    assert "cut too early" in result.output
    (figures,) = json.loads(path.read_text())
    assert figures["size"] == {"lots": 6, "dryers": 2, "days": 2}
