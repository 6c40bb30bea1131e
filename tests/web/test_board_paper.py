"""The board paper of a period, as a page and as files: figures with their fractions, no names for
who may not have them, nothing loaded from elsewhere."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from api.services.lots import door
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan
from scheduler.domain.rules import PLAINLY, TITLES
from scheduler.errors import BadInput
from scheduler.season.as_json import board_json
from scheduler.season.paper import Paper, paper
from scheduler.season.records import Season
from tests.answer.posted import posted
from tests.asking import Asking
from tests.book import HAND, doing
from tests.season.small import season
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.site import KEY, entered, words
from web.app import create_site
from web.board_book import period
from web.command import app
from web.pages.paper import print_page
from web.views.board_paper import board_paper_page
from web.views.reading import Reading

YEAR = "/board/season/2026"


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kitchen]:
    folder = tmp_path_factory.mktemp("paper")
    plan: Plan = posted(AUGUST)
    with opened(folder, create_site, key=KEY) as found:
        found.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": found.laid_out(plan)})
        with found.shelf.writing() as book:  # all came, and nobody wrote down a run
            for note in AUGUST.notes:
                door(book, doing(HAND, note.arrives), note.id, note.field_g)
        found.now[0] = AUGUST.notes[0].arrives + timedelta(days=14)
        yield found


@pytest.fixture(scope="module")
def manager(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


@pytest.fixture(scope="module")
def bea(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "board")


def test_the_season_opens_on_the_year_of_the_posted_weeks(manager: Asking):
    answer = manager.ask("GET", "/board/season", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, YEAR)


def test_the_board_reads_no_name_and_no_grower(bea: Asking, manager: Asking):
    for_bea, for_manager = bea.get(YEAR).text, manager.get(YEAR).text
    for grower in AUGUST.growers:
        assert grower.name not in for_bea
        assert f">{grower.id}<" not in for_bea
    assert ">G01<" in for_manager
    assert "invoices.csv" not in for_bea
    for told in (
        'data-name="shares"', 'data-name="kg asked"', 'data-name="kg refused"',
        'data-name="rack-hours"', "part of the shares",
    ):  # fmt: skip
        assert told in for_manager
        assert told not in for_bea  # everybody's shares are known, and would name her
    assert 'data-name="per share"' in for_bea
    assert bea.get(f"{YEAR}/measures.csv").status_code == 200
    assert bea.get(f"{YEAR}/invoices.csv").status_code == 404
    assert bea.get(f"{YEAR}/trail.csv").status_code == 404


@pytest.mark.parametrize("role", ["hand", "grower", "on_call"])
def test_others_have_no_board_paper(kitchen: Kitchen, role):
    assert entered(kitchen, role).get(YEAR).status_code == 403


def test_every_measure_stands_with_its_fraction(bea: Asking):
    html = bea.get(YEAR).text
    lines = [words(each) for each in re.findall(r"<li><b>(.*?)</li>", html, re.DOTALL)]
    assert len(lines) == 25
    assert all(re.search(r": .+ (of|for) .+\(.+ / .+\)", each) for each in lines)


def test_tables_download_and_open(manager: Asking):
    answer = manager.get(f"{YEAR}/invoices.csv")
    assert answer.headers["content-disposition"] == 'attachment; filename="invoices-2026.csv"'
    lines = list(csv.DictReader(io.StringIO(answer.text, newline="")))
    totals = csv.DictReader(io.StringIO(manager.get(f"{YEAR}/invoice totals.csv").text, newline=""))
    by_hand = round(sum(float(each["amount"]) for each in lines), 2)
    assert by_hand == round(sum(float(each["total"]) for each in totals), 2) > 0
    book = load_workbook(io.BytesIO(manager.get(f"{YEAR}/tables.xlsx").content))
    assert {"measures", "ledger", "invoices", "runs", "trail"} <= set(book.sheetnames)


def test_a_year_without_posted_weeks(manager: Asking):
    assert manager.get("/board/season/2027").status_code == 404


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("board") / "paper"
    done = CliRunner().invoke(app, ["board", "spring_day", "--out", str(folder)])
    assert done.exit_code == 0, done.output
    return folder


def test_the_command_writes_paper_tables_and_figures(out: Path):
    html = (out / "paper.html").read_text(encoding="utf-8")
    assert "@page board" in html
    assert not re.findall(r'(?:src|href)="', html)  # it loads nothing
    figures = json.loads((out / "board.json").read_text(encoding="utf-8"))["figures"]
    assert len(figures) > 25
    for each in figures:
        assert {"numerator", "denominator", "from", "to", "definition"} <= set(each)
        assert isinstance(each["numerator"], int)
        assert isinstance(each["denominator"], int)
    tables = {each.stem for each in (out / "tables").glob("*.csv")}
    assert tables == set(load_workbook(out / "tables.xlsx").sheetnames)
    assert "trail" in tables


def test_figures_of_the_command_are_those_of_the_runs(out: Path):
    figures = json.loads((out / "board.json").read_text(encoding="utf-8"))["figures"]
    use = next(each for each in figures if each["name"] == "Rack use")
    text = (out / "tables" / "runs.csv").read_text(encoding="utf-8")
    runs = csv.DictReader(io.StringIO(text, newline=""))
    assert sum(int(each["rack-seconds"]) for each in runs) == use["numerator"] > 0


@pytest.mark.parametrize(
    ("what", "last", "first", "ending"),
    [
        ("2026-W34", None, "2026-W34", "2026-W34"),
        ("2026-W30", "2026-W36", "2026-W30", "2026-W36"),
        ("2026-08", None, "2026-W32", "2026-W35"),  # Thursdays 6, 13, 20, 27 August
        ("2026-10", None, "2026-W40", "2026-W44"),
        ("2026", None, "2026-W01", "2026-W53"),
    ],
)
def test_periods(what: str, last: str | None, first: str, ending: str):
    assert period(what, last) == (Week.parse(first), Week.parse(ending))


def test_no_period():
    with pytest.raises(BadInput):
        period("autumn", None)
    with pytest.raises(BadInput):
        period("2026-13", None)
    with pytest.raises(BadInput):
        period("2026-08", "2026-09")


@pytest.fixture(scope="module")
def small() -> Paper:
    return paper(season(4))


def test_sentences_are_computed_from_the_figures(small: Paper):
    placed = small.figure("placed")
    assert f"{round(placed.shown_denominator):,} kg told (field weight)" in small.summary[1]
    dryers = small.season.kitchen.dryers
    racks = sum(each.racks for each in dryers)
    assert f"has {len(dryers)} dryers with {racks} racks: loaded" in small.summary[0]
    assert json.dumps(board_json(small))
    assert small.season.first == date(2026, 8, 10)


def test_an_invented_season_says_so_before_anything_else(small: Paper):
    """A season of a kitchen that is for demonstration, too; one on record of a real one not."""
    noted = replace(season(4), notes=("Invented.",))
    assert paper(noted).known == ("Invented.",)
    assert small.known == ("An invented season, for demonstration.",)
    page = board_paper_page(paper(noted), Reading(), styles="-")
    html = bytes(print_page(page, reading=Reading()).body).decode()
    assert html.index("Invented.") < html.index('class="big"')
    recorded = replace(season(4), invented=False)
    assert paper(of_source(recorded, "our own")).known == ()
    (demo,) = paper(of_source(recorded, "demo (somewhere)")).known
    assert "for demonstration" in demo
    assert 'class="known"' not in words_of(paper(of_source(recorded, "our own")))


def of_source(found: Season, source: str) -> Season:
    week = found.weeks[-1]
    asked = replace(week.asked, kitchen=replace(week.kitchen, source=source))
    last = replace(week, posted=(*week.posted[:-1], replace(week.posted[-1], asked=asked)))
    return replace(found, weeks=(*found.weeks[:-1], last))


def words_of(made: Paper) -> str:
    page = board_paper_page(made, Reading(), styles="-")
    return bytes(print_page(page, reading=Reading()).body).decode()


def test_rules_are_told_in_words(small: Paper):
    assert set(PLAINLY) == set(TITLES)
    html = words_of(small)
    assert small.rules
    for each in small.rules:
        assert each.rule is None or f"{each.name}: {PLAINLY[each.rule]}." in html
        assert f"(rule {each.rule})" not in html


def test_kg_asked_stand_beside_the_refused(small: Paper):
    html = words_of(small)
    for each in small.lines:
        assert f'data-name="kg asked">{round(each.asked_g / 1000):,}<' in html
        assert each.asked_g >= each.placed_g + each.refused_g
    assert sum(each.asked_g for each in small.lines) == small.figure("placed").denominator


def test_who_stands_without_a_name_stands_in_order_of_use():
    told = paper(season(4), named=False).lines
    assert [each.grower_id for each in told] == [str(place) for place in range(1, len(told) + 1)]
    figures = board_json(paper(season(4), named=False))["figures"]
    assert not [each for each in figures if each["name"].startswith("Rack-hours of")]
    assert [each.per_share for each in told] == sorted((e.per_share for e in told), reverse=True)
