"""Dryer strips in characters: the taller the block, the more racks are filled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan, Run
from scheduler.measures import Measures
from scheduler.started import all_runs
from scheduler.wording import percent, short_day

MOST, LEAST = 84, 40  # columns of a strip: 84 gives a week of 126 hours 1.5 hours a column
LABEL = 4
SHARE = 6
BLOCKS = "▁▂▃▄▅▆▇█"
HOLD = "·"


@dataclass(frozen=True, slots=True)
class Strips:
    """Two lines a dryer, lot codes above and racks below, under a line of days."""

    asked: Asked
    plan: Plan
    measures: Measures

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        width = min(MOST, max(LEAST, options.max_width - LABEL - SHARE))
        yield Text("\n".join(self._lines(width)), no_wrap=True)

    def _lines(self, width: int) -> Iterator[str]:
        asked = self.asked
        scale = _Scale(self.measures.period, width)
        yield _days(asked, scale)
        for use in self.measures.dryers:
            racks = asked.kitchen.dryer(use.dryer_id).racks
            runs = [run for run in all_runs(asked, self.plan) if run.dryer_id == use.dryer_id]
            yield " " * LABEL + _codes(runs, scale)
            drawn = f"{use.dryer_id:<{LABEL}}{_blocks(runs, scale, racks=racks)}"
            yield f"{drawn} {percent(use.rack_use.share):>{SHARE - 1}}"


@dataclass(frozen=True, slots=True)
class _Scale:
    """Instants of the week to columns of the strip."""

    period: Span
    width: int

    def column(self, at: datetime) -> int:
        share = (at - self.period.start) / (self.period.end - self.period.start)
        return min(self.width, max(0, round(share * self.width)))

    def blank(self) -> list[str]:
        return [" "] * self.width


def _write(line: list[str], column: int, text: str) -> None:
    line[column : column + len(text)] = list(text[: len(line) - column])


def _days(asked: Asked, scale: _Scale) -> str:
    line = scale.blank()
    for span in asked.kitchen.staffed_spans(asked.week.days):
        day = span.start.astimezone(asked.kitchen.zone).date()
        _write(line, scale.column(span.start), short_day(day))
    return " " * LABEL + "".join(line)


def _codes(runs: list[Run], scale: _Scale) -> str:
    line = scale.blank()
    for run in runs:
        start = scale.column(run.start)
        room = scale.column(run.released + timedelta(hours=1)) - start
        codes = "+".join(charge.code.replace(" ", "") for charge in run.charges)
        _write(line, start, codes[: max(room, 3)])
    return "".join(line)


def _blocks(runs: list[Run], scale: _Scale, *, racks: int) -> str:
    line = scale.blank()
    for run in runs:
        start, end = scale.column(run.start), scale.column(run.end)
        block = BLOCKS[max(0, round(run.racks / racks * len(BLOCKS)) - 1)]
        _write(line, end, HOLD * (scale.column(run.released) - end))
        _write(line, start, block * (end - start))
    return "".join(line)
