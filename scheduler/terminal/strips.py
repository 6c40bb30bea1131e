"""Dryer strips in characters: the taller the block, the more racks are filled."""

from __future__ import annotations

from datetime import datetime, timedelta

from rich.text import Text

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan, Run
from scheduler.measures import Measures, open_period
from scheduler.started import all_runs
from scheduler.wording import percent, short_day

WIDTH = 84
LABEL = 4
BLOCKS = "▁▂▃▄▅▆▇█"
HOLD = "·"


def strips(asked: Asked, plan: Plan, measures: Measures) -> Text:
    """Two lines a dryer, lot codes above and racks below, under a line of days."""
    scale = _Scale(open_period(asked))
    lines = [_days(asked, scale)]
    for use in measures.dryers:
        racks = asked.kitchen.dryer(use.dryer_id).racks
        runs = [run for run in all_runs(asked, plan) if run.dryer_id == use.dryer_id]
        lines.append(" " * LABEL + _codes(runs, scale))
        drawn = f"{use.dryer_id:<{LABEL}}{_blocks(runs, scale, racks=racks)}"
        lines.append(f"{drawn} {percent(use.rack_use.share):>5}")
    return Text("\n".join(line.rstrip() for line in lines), no_wrap=True)


class _Scale:
    """Instants of the week to columns of the strip."""

    def __init__(self, period: Span) -> None:
        self.period = period

    def column(self, at: datetime) -> int:
        share = (at - self.period.start) / (self.period.end - self.period.start)
        return min(WIDTH, max(0, round(share * WIDTH)))


def _write(line: list[str], column: int, text: str) -> None:
    line[column : column + len(text)] = list(text[: WIDTH - column])


def _days(asked: Asked, scale: _Scale) -> str:
    line = [" "] * WIDTH
    for span in asked.kitchen.staffed_spans(asked.week.days):
        day = span.start.astimezone(asked.kitchen.zone).date()
        _write(line, scale.column(span.start), short_day(day))
    return " " * LABEL + "".join(line)


def _codes(runs: list[Run], scale: _Scale) -> str:
    line = [" "] * WIDTH
    for run in runs:
        start = scale.column(run.start)
        room = scale.column(run.released + timedelta(hours=1)) - start
        codes = "+".join(charge.code.replace(" ", "") for charge in run.charges)
        _write(line, start, codes[: max(room, 3)])
    return "".join(line)


def _blocks(runs: list[Run], scale: _Scale, *, racks: int) -> str:
    line = [" "] * WIDTH
    for run in runs:
        start, end = scale.column(run.start), scale.column(run.end)
        block = BLOCKS[max(0, round(run.racks / racks * len(BLOCKS)) - 1)]
        _write(line, end, HOLD * (scale.column(run.released) - end))
        _write(line, start, block * (end - start))
    return "".join(line)
