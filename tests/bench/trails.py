"""`python -m tests.bench.trails`: seconds to follow a code over many lots, and to export them all.

A measurement, no test: the season is small weeks over and over, each with codes of its own.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace

import typer

from scheduler.season.codes import Code
from scheduler.season.records import Season, WeekRecord
from scheduler.season.sheets import csv_text, workbook
from scheduler.season.trails import Trails
from tests.season.small import season


def many(lots: int) -> Season:
    """So many lots at least, in weeks repeated under other codes."""
    some = [season(seed) for seed in range(1, 11)]
    weeks = [week for each in some for week in each.weeks]
    found: list[WeekRecord] = []
    count = 0
    while count < lots:
        week = weeks[len(found) % len(weeks)]
        turn = len(found)
        named = tuple(replace(lot, code=f"{lot.code}-{turn}") for lot in week.lots)
        found.append(replace(week, lots=named))
        count += len(named)
    return replace(some[0], weeks=tuple(found))


def main() -> None:
    lots = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    found = many(lots)
    codes = [lot.code for week in found.weeks for lot in week.lots]
    begin = time.perf_counter()
    trails = Trails(found)
    trail = trails.of(str(Code(codes[-1], bag=1)))
    typer.echo(
        f"{len(codes)} lots; a bag's trail, {len(trail.steps)} steps: "
        f"{time.perf_counter() - begin:.3f} s"
    )
    begin = time.perf_counter()
    sheet = trails.sheet()
    typer.echo(f"all trails, {len(sheet.rows)} rows: {time.perf_counter() - begin:.2f} s")
    begin = time.perf_counter()
    csv_text(sheet)
    typer.echo(f"as CSV: {time.perf_counter() - begin:.2f} s")
    begin = time.perf_counter()
    workbook([sheet])
    typer.echo(f"as xlsx: {time.perf_counter() - begin:.2f} s")


if __name__ == "__main__":
    main()
