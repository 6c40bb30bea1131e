"""board: the board paper of a period of the book, of a scenario's week, of the invented season."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.live import Live
from rich.text import Text

from api.cli.desk import By, app, day_named, the_desk, week_named
from api.schemas.board import WeekFiguresBody
from api.services.board import board
from api.services.roles import Act
from api.services.season import season as season_of_book
from scheduler.cli.commands import Seed
from scheduler.cli.plainly import plainly, tell
from scheduler.domain.clock import Week
from scheduler.scenario import bundled, load
from scheduler.season import tables
from scheduler.season.as_json import board_json
from scheduler.season.money import RETAINED_PERCENT
from scheduler.season.paper import Option, Paper, paper
from scheduler.season.patronage import patronage
from scheduler.season.records import Posted, Ran, Season, WeekRecord
from scheduler.season.sheets import Table, csv_text, workbook
from scheduler.season.trails import Trails
from scheduler.season.turns import members
from web.pages.paper import print_page
from web.pdf import ALONE, MISSING
from web.views.board_paper import board_paper_page
from web.views.reading import Reading

INVENTED = "season"
STYLE = Path(__file__).parent / "static" / "paper.css"

MINOR, PAIR = 100, 2
YEAR, MONTH = len("2026"), len("2026-08")


@app.command("board")
def board_command(
    what: Annotated[
        list[str],
        typer.Argument(
            metavar="SCENARIO-OR-PERIOD [LAST]",
            help="A week (2026-W34), or two; a month, a year; a scenario; season: an invented one.",
        ),
    ],
    out: Annotated[
        Path | None, typer.Option(help="Write the paper, its tables and board.json there.")
    ] = None,
    supposed: Annotated[
        int,
        typer.Option("--suppose", help="Try what the board might buy, so many times each.", min=0),
    ] = 0,
    costs: Annotated[
        float | None, typer.Option(help="What the kitchen paid in the period.", min=0)
    ] = None,
    seed: Seed = 1,
    by: By = None,
) -> None:
    """The board paper: use, fairness, money, and whether to buy another dryer.

    Examples: commonrack board season --out paper --suppose 2; commonrack board 2026-W30 2026-W36
    """
    with plainly():
        if out is None and len(what) == PAIR:
            _weeks_as_json(*what, by=by)
            return
        found, named = _season(*what[:PAIR], seed=seed, by=by)
        if costs is not None:
            found = replace(found, costs=round(costs * MINOR))
        options, asked_of = _tried(found, supposed, out)
        made = paper(found, options=options, asked_of=asked_of, named=named)
        if out is None:
            typer.echo(json.dumps(board_json(made), indent=1, ensure_ascii=False))
            return
        _write(out, made, named=named)
    Console(highlight=False).print(f"The board paper is in {out}", soft_wrap=True)


def _weeks_as_json(first: str, last: str, *, by: str | None) -> None:
    """Figures of each posted week by itself, without names."""
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = board(book, doing, first=week_named(first), last=week_named(last))
        bodies = [WeekFiguresBody.from_domain(each).model_dump(mode="json") for each in found]
    typer.echo(json.dumps(bodies, indent=1, ensure_ascii=False))


def _season(
    what: str, last: str | None = None, *, seed: int, by: str | None
) -> tuple[Season, bool]:
    """The records, and whether names may stand in them."""
    if what == INVENTED:
        return invented(seed), True
    if what in bundled() or Path(what).is_dir():
        return _one_week(what, seed), True
    first, ending = period(what, last)
    with the_desk(by) as desk, desk.reading() as (book, doing):
        found = season_of_book(book, doing, first=first, last=ending)
        return found, doing.reach(Act.READ_BILLS) == "all"


def period(what: str, last: str | None) -> tuple[Week, Week]:
    """A year, a month, a week, or from one week to another; BadInput for anything else.

    Of a month: the weeks of which most days lie in it.
    """
    if last is None and len(what) == YEAR and what.isdecimal():
        end = date(int(what), 12, 28)  # always in the last ISO week
        return Week(int(what), 1), Week.of(end)
    if last is None and len(what) == MONTH and what.replace("-", "").isdecimal():
        first = day_named(f"{what}-01", "PERIOD")
        after = (first + timedelta(days=31)).replace(day=1)
        return _thursday(first), _thursday(after - timedelta(days=7))
    return week_named(what), week_named(last or what)


def _thursday(first: date) -> Week:
    """The week of the first Thursday on or after that day."""
    return Week.of(first + timedelta(days=(3 - first.weekday()) % 7))


def invented(seed: int) -> Season:
    """The invented season, told week by week as it is laid out."""
    from scheduler.replay.season import invented_season  # noqa: PLC0415 only who lays out loads the solver

    with Live(Text(""), console=Console(stderr=True), transient=True) as line:
        return invented_season(seed, told=lambda words: line.update(Text(words)))


def _one_week(what: str, seed: int) -> Season:
    """A scenario's week laid out, counted as posted; nothing of it is on record."""
    from scheduler.replay.laying import Effort, lay_out_quickly, with_reasons  # noqa: PLC0415

    asked = load(what)
    plan = with_reasons(asked, lay_out_quickly(asked, Effort(seed=seed)))
    week = WeekRecord(
        (Posted(asked, plan),), tuple(Ran(run, run, on_record=False) for run in plan.runs)
    )
    return Season(asked.title, asked.week.monday, asked.week.days[-1], (week,), notes=(
        "A scenario's week as laid out: nothing of it has happened.",))  # fmt: skip


def _tried(found: Season, times: int, out: Path | None) -> tuple[tuple[Option, ...], str]:
    if not times:
        return (), ""
    from scheduler.replay.suppose import Tries  # noqa: PLC0415 only who tries loads the solver
    from web.board_tries import tried  # noqa: PLC0415

    seeds = tuple(range(1, times + 1))
    return tried(found, Tries(seeds, workers=os.cpu_count() or 1), out)


def _write(out: Path, made: Paper, *, named: bool) -> None:
    (out / "tables").mkdir(parents=True, exist_ok=True)
    reading = Reading(zone=made.season.zone)
    page = board_paper_page(made, reading, styles=STYLE.read_text(encoding="utf-8"))
    html = bytes(print_page(page, reading=reading).body)
    (out / "paper.html").write_bytes(html)
    text = json.dumps(board_json(made), indent=1, ensure_ascii=False)
    (out / "board.json").write_text(f"{text}\n", encoding="utf-8")
    every = list(_tables(made, named=named))
    for table in every:
        (out / "tables" / f"{table.name}.csv").write_text(
            csv_text(table), encoding="utf-8", newline=""
        )
    (out / "tables.xlsx").write_bytes(workbook(every))
    _write_pdf(out / "paper.pdf", html)


def _tables(made: Paper, *, named: bool) -> Iterator[Table]:
    """What tells of growers only where names may stand."""
    season = made.season
    yield tables.measures_table(made.figures)
    if not named:
        return
    yield tables.members_table(season, made.lines)
    if made.money.surplus is not None:
        parts = patronage(members(season), made.money.surplus, retained_percent=RETAINED_PERCENT)
        yield tables.patronage_table(parts)
    yield from (make(season) for make in tables.OF_RECORDS)
    yield Trails(season).sheet()


def _write_pdf(path: Path, html: bytes) -> None:
    """Where the extra `report` is installed; any browser prints the page, too."""
    command = (sys.executable, "-m", "web.pdf", ALONE)
    done = subprocess.run(command, input=html, capture_output=True, check=False)
    if done.returncode == MISSING:
        tell("no PDF: the extra report is not installed; print paper.html instead")
        return
    done.check_returncode()
    path.write_bytes(done.stdout)
