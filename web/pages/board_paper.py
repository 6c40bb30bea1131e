"""GET /board/season: the board paper of a year's posted weeks; its tables; as PDF."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import RedirectResponse, Response

from api.records.jobs import SupposingSeason
from api.services.board import posted_weeks
from api.services.board_suppositions import in_the_paper
from api.services.bounds import FIRST_YEAR, LAST_YEAR
from api.services.ports import Book
from api.services.roles import Act, Doing
from api.services.season import season
from scheduler.domain.clock import Week
from scheduler.errors import NoSuchPlan
from scheduler.season import tables
from scheduler.season.paper import Paper, paper
from scheduler.season.sheets import Table, csv_text, workbook
from scheduler.season.trails import Trails
from web.pages.as_pdf import as_pdf
from web.pages.visit import AtDoor, Visit
from web.views.board_paper import BoardPaperPage, board_paper_page, season_address
from web.views.board_supposed import tried_at
from web.views.links import Link
from web.views.reading import Reading

router = APIRouter(include_in_schema=False)
Year = Annotated[int, Path(ge=FIRST_YEAR, lt=LAST_YEAR)]
SHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@router.get("/board/season")
def this_season(door: AtDoor) -> Response:
    """Of the year of the last posted week that has begun, else the first to come."""
    with door.reading() as (book, doing):
        weeks = posted_weeks(book, doing)
        now = Week.of(door.reader(book, doing).reading.local(doing.at).date())
    if not weeks:
        raise NoSuchPlan("no week has been posted yet")
    begun = [each for each in weeks if each <= now]
    return RedirectResponse(season_address((begun or [weeks[0]])[-1].year), 303)


@router.get("/board/season/{year}")
def season_page(year: Year, door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        page = _page(book, doing, year, reader.reading)
        links = tuple(_links(year, reader.reading, doing))
    return door.show(replace(page, links=links), reader)


@router.get("/board/season/{year}/pdf")
def season_pdf(year: Year, door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        reader = door.reader(book, doing)
        page = _page(book, doing, year, reader.reading)
    return as_pdf(page, reader, name=f"board-paper-{year}", back=season_address(year))


@router.get("/board/season/{year}/tables.xlsx")
def season_tables(year: Year, door: AtDoor) -> Response:
    return _file(workbook(_tables(door, year)), SHEET, f"board-{year}.xlsx")


@router.get("/board/season/{year}/{table}.csv")
def season_table(year: Year, table: str, door: AtDoor) -> Response:
    found = {each.name: each for each in _tables(door, year)}
    if table not in found:
        raise NoSuchPlan(f"there is no table {table}")
    text = csv_text(found[table]).encode()
    return _file(text, "text/csv; charset=utf-8", f"{table}-{year}.csv")


def _file(content: bytes, kind: str, name: str) -> Response:
    headers = {
        "Content-Disposition": f'attachment; filename="{name}"',
        "Cache-Control": "private, no-cache",
    }
    return Response(content, media_type=kind, headers=headers)


def _named(doing: Doing) -> bool:
    """Whether names may stand in it: for whom all invoices are open."""
    return doing.reach(Act.READ_BILLS) == "all"


def _page(book: Book, doing: Doing, year: int, reading: Reading) -> BoardPaperPage:
    """With what was supposed last of that year."""
    job = in_the_paper(book, doing, year)
    supposed = None if job is None else job.season
    made = _paper(book, doing, year, supposed)
    page = board_paper_page(made, reading)
    return replace(page, tried=tried_at(job, len(made.season.weeks), reading)) if job else page


def _paper(book: Book, doing: Doing, year: int, supposed: SupposingSeason | None = None) -> Paper:
    found = season(book, doing, first=Week(year, 1), last=Week(year, 53))
    options, verdict = (supposed.options, supposed.verdict) if supposed else ((), "")
    return paper(found, options=options, asked_of=verdict, named=_named(doing))


def _tables(door: Visit, year: int) -> list[Table]:
    with door.reading() as (book, doing):
        made, named = _paper(book, doing, year), _named(doing)
    return list(_made(made, named=named))


def _made(made: Paper, *, named: bool) -> Iterator[Table]:
    """What tells of growers only where names may stand."""
    yield tables.measures_table(made.figures)
    if named:
        yield from (make(made.season) for make in tables.OF_RECORDS)
        yield Trails(made.season).sheet()


def _links(year: int, reading: Reading, doing: Doing) -> Iterator[Link]:
    where, say, named = season_address(year), reading.say, _named(doing)
    yield Link(say("Week by week"), "/board")
    if doing.reach(Act.SUPPOSE_SEASON) == "all":
        yield Link(say("Suppose"), f"{where}/suppose")
    yield Link(say("As PDF"), f"{where}/pdf")
    yield Link(say("All tables (.xlsx)"), f"{where}/tables.xlsx")
    yield Link(say("Measures (CSV)"), f"{where}/measures.csv")
    if named:
        yield Link(say("Invoices (CSV)"), f"{where}/invoices.csv")
        yield Link(say("Lot trail (CSV)"), f"{where}/trail.csv")
