"""A manager runs her week from the command line; the book is copied and comes back whole."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from api.settings import DATABASE_URL
from api.store import open_shelf
from api.store.copy import PAGES
from tests.answer.posted import posted
from tests.databases import fresh_url
from tests.fake_planning import FakePlanner
from tests.shelves import FRIDAY
from web.command import app

runner = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1", "COMMONRACK_PASSWORD": "cool store 12"})
WEEK = "2026-W34"


@pytest.fixture
def database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    monkeypatch.setattr("api.cli.desk.now", lambda: FRIDAY)
    with fresh_url(tmp_path) as url:
        monkeypatch.setenv(DATABASE_URL, url)
        yield url


@pytest.fixture
def planner(monkeypatch: pytest.MonkeyPatch) -> FakePlanner:
    fake = FakePlanner(make=posted)
    monkeypatch.setitem(sys.modules, "scheduler.planning", fake.module())
    return fake


def say(*words: str, code: int = 0) -> str:
    result = runner.invoke(app, list(words))
    assert result.exit_code == code, result.output
    return result.output


def test_a_manager_runs_her_week(database: str, planner: FakePlanner):
    say("take-in", "august")
    say("people", "add", "lotte", "Lotte Amberry")
    say("people", "add", "odile", "Odile Farrant", "--role", "grower", "--grower", "G01")
    assert "odile" in say("people", "list")
    assert "G01-1 noted, in order" in say("note", "G01", "tomato", "9", "2026-08-18T08:00")
    assert "G01-1" in say("notes", WEEK)
    assert "plan 1, pencilled" in say("lay-out-week", WEEK)
    out = say("post", WEEK, "--by", "lotte")
    assert "Plan 1 is posted" in out
    assert "To G01: Corrowell Drying Kitchen" in out
    assert "Plan 1, posted" in say("week", WEEK)
    assert "posted" in say("day", "2026-08-18")
    assert "Bringing turn" in say("turns", WEEK)
    own = say("day", "2026-08-17", "--by", "odile")
    assert "Odile Farrant" in own
    assert "Verrin" not in own
    say("post", WEEK, code=2)
    code = say("door", "R02", "118").strip()
    assert "70 bags" in say("pack", code, "70")
    assert json.loads(say("trail", code))["lot"]["bags"] == 70
    say("down", "D3", "--cause", "fan")
    say("down", "D3", code=2)
    say("up", "D3")
    say("let-go", "G01-1")
    assert "carried over into 2026-W35 as G02-1" in say("carry-over", "R01", "2026-08-24T07:30")
    told = say("messages")
    assert "1 to G01" not in told
    assert "G01-1 tomato 9 kg: let go, no longer expected." in told
    number = told.partition(" to G01: ")[0].rpartition("\n")[2]
    every = say("messages", "--all")
    assert f"1 to G01, overtaken by {number}: " in every
    say("messages", "--sent", number)
    assert " to G01" not in say("messages")
    assert f"{number} to G01, sent: " in say("messages", "--all")
    (figures,) = json.loads(say("board", WEEK, WEEK))
    assert figures["bags_packed"] == 70
    assert "/invited/" in say("people", "invite", "odile")


@pytest.mark.parametrize(
    "words", ["growers", "kitchen", "caps", "papers", f"notes {WEEK}", f"turns {WEEK}"]
)
def test_in_an_empty_book_it_is_told_how_a_kitchen_comes_in(database: str, words: str):
    told = say(*words.split(), code=2)
    assert "the book has no kitchen yet; take one in: commonrack take-in SCENARIO" in told


def test_a_list_without_lines_says_so_and_what_to_do(database: str):
    assert "add somebody: commonrack people add LOGIN NAME" in say("people", "list")
    say("take-in", "august")
    assert "add one: commonrack note" in say("notes", "2026-W35")
    assert "commonrack post 2026-W35" in say("turns", "2026-W35")
    assert "commonrack post WEEK" in say("messages")
    assert "add one" not in say("notes", WEEK)


def test_papers_helpers_and_letters_that_were_seen(database: str):
    say("take-in", "august")
    say("papers", "--grower", "G01", "--kind", "liability insurance", "--until", "2028-01-31")
    assert "2028-01-31" in say("papers")
    assert "Rule 16: 10 turns a month, standing lots 35 % of the rack-hours." in say("papers")
    helper = ("--grower", "G01", "--helper", "Jory Quill")
    say("papers", *helper, "--kind", "orientation", "--until", "2027-01-31")
    assert "orientation of Jory Quill: until 2027-01-31" in say("papers")
    assert "until 2027-03-31" in say("approve", "chili", "no. 12", "--until", "2027-03-31")
    say("approve", "nothing", "no. 12", code=2)


def test_the_kitchen_and_its_members_are_changed_in_mid_season(database: str):
    say("take-in", "august")
    hours = ("--staffed", "Mon-Fri 08:00-18:00", "--shift", "Jun Ferrow: Fri 08:00-17:00")
    nell = ("--on-call", "Mon: Nell Harrow, 555-0199")
    told = say("kitchen", *hours, *nell, "--closed", "2026-08-20")
    assert "staffed Mon 08:00-18:00; Tue 08:00-18:00;" in told
    assert "Jun Ferrow, kitchen hand: Fri 08:00-17:00" in told
    assert "On call Mon: Nell Harrow, 555-0199\nOn call Tue: Jun Ferrow, 555-0101" in told
    assert "Closed: 2026-08-20" in told
    assert say("kitchen") == told
    for wrong in (("--staffed", ""), ("--staffed", "Mon 08:00-12:00; Mon 11:00-13:00"),
                  ("--shift", "Nobody: Mon"), ("--on-call", "Someday: Nell, 5"),
                  ("--closed", "someday")):  # fmt: skip
        say("kitchen", *wrong, code=2)
    assert say("kitchen") == told
    assert "6 turns a month, standing lots 20 %" in say(
        "caps", "--turns-a-month", "6", "--standing-percent", "20"
    )
    say("caps", "--turns-a-month", "0", code=2)
    assert "G01   Odile Farrant, Quillet Acre: 5 shares, 2 at work" in say("growers")
    told = say(
        "grower", "G01", "--shares", "7", "--cannot", "Wed 12:00-19:00", "--away", "2026-08-21"
    )
    assert "cannot come Wed 12:00-19:00; away from 2026-08-21 00:00" in told
    assert "7 shares" in say("growers")
    assert say("grower", "G01") == told
    say("grower", "G01", "--people", "3", code=2)
    say("grower", "G99", code=2)


def test_whom_to_ring_is_listed_and_ticked(database: str):
    say("take-in", "august")
    say("people", "add", "lotte", "Lotte Amberry")
    assert "555-0142" in say("telephone", "G11", "555-0142")
    told = say("calls", WEEK)
    assert "G11 Davit Kessane, Kessane Rows: 555-0142\n    - R09 tomato: no answer" in told
    say("rung", WEEK, "G11", "--by", "lotte")
    assert "x R09 tomato: no answer; rung by Lotte Amberry, Fri 14 15:05" in say("calls", WEEK)
    say("rung", WEEK, "G11", code=2)
    say("rung", WEEK, "G11", "--back")
    assert say("calls", WEEK) == told
    assert "nobody is to be rung" in say("calls", "2026-W35")


def test_what_happens_at_the_dryers_is_written_down(
    database: str, planner: FakePlanner, monkeypatch: pytest.MonkeyPatch
):
    def clock(told: str) -> None:
        at = datetime.fromisoformat(f"2026-08-17T{told}:00-04:00")
        monkeypatch.setattr("api.cli.desk.now", lambda: at)

    say("take-in", "august")
    say("lay-out-week", WEEK)
    say("post", WEEK)
    clock("10:00")
    say("start", "D2", code=2)
    code = say("door", "R03", "52").strip()
    assert ": R03 (18), until 18:00." in say("start", "D2")
    say("start", "D2", "--racks", "nonsense", code=2)
    assert say("tick", "2026-08-17", "wash R03 W1", "--at", "2026-08-17T08:20")
    assert "x 08:00 wash R03 W1  " in say("ticks", "2026-08-17")
    assert " 08:20" in say("ticks", "2026-08-17")
    assert "not done" in say("tick", "2026-08-17", "wash R03 W1", "--back")
    assert "- 08:00 wash R03 W1\n" in say("ticks", "2026-08-17")
    say("tick", "2026-08-17", "weigh in R03 Door", code=2)
    clock("18:30")
    assert "in D2 has ended" in say("end", "D2", "--at", "2026-08-17T17:50")
    assert "in D2 is unloaded" in say("unload", "D2")
    say("unload", "D2", code=2)
    readings = ("--reading", "1:0.51:8.5", "--reading", "9:0.5:8", "--reading", "18:0.56:9")
    decided = ("--decided-by", "Lotte Amberry", "--decision")
    assert "at most 0.54" in say("dry-check", code, *readings, *decided, "pass", code=2)
    held = say("dry-check", code, *readings, *decided, "hold")
    assert f"{code} is held; counted: hold (rack 18 reads a water activity of 0.56" in held
    say("pack", code, "40", code=2)
    steps = [each["what"] for each in json.loads(say("trail", code))["steps"]]
    assert steps[-4:] == ["at the door", "on racks", "off racks", "dry check"]
    say("dry-check", code, "--reading", "1,0.5,8", *decided, "hold", code=2)
    held_now = say("held")
    assert f"{code}: " in held_now
    assert "missing what_happened, cause, product, done_by and verified_by" in held_now
    say("corrective-action", "99", "--close", code=2)
    back = say("back-to-dryer", code, "D2")
    assert "in D2, 4.5 h. Packing: stays." in back
    assert "To G12: Corrowell Drying Kitchen" in back
    say("discard", code, "--why", "mould", code=2)


def test_the_command_line_asks_for_roles_too(database: str):
    say("take-in", "august")
    say("people", "add", "sal", "Sal Orrin", "--role", "hand")
    assert "hand may not: post" in say("post", WEEK, "--by", "sal", code=2).replace("\n", " ")
    say("notes", WEEK, "--by", "nobody", code=2)
    say("note", "G01", "tomato", "9", "tuesday", code=2)


def everything(url: str) -> dict[str, object]:
    shelf = open_shelf(url)
    with shelf.reading() as book:
        pages = {page: getattr(book, page) for page in PAGES if page != "plans"}
        found: dict[str, object] = {name: tuple(pages[name].where()) for name in pages}
        found["plans"] = tuple(book.plans.find(number) for number in (1, 2))
    shelf.close()
    return found


def test_a_copy_comes_back_whole_into_an_empty_book_only(
    database: str, planner: FakePlanner, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    say("take-in", "august")
    say("people", "add", "lotte", "Lotte Amberry")
    say("note", "G01", "tomato", "9", "2026-08-18T08:00")
    say("lay-out-week", WEEK)
    say("post", WEEK)
    copy = tmp_path / "book.jsonl.gz"
    assert "records are in" in say("backup", str(copy))
    assert copy.stat().st_mode & 0o777 == 0o600  # personal data: for nobody else at that machine
    assert "not empty" in say("restore", str(copy), code=2)
    before = everything(database)
    (tmp_path / "other").mkdir()
    with fresh_url(tmp_path / "other") as other:
        monkeypatch.setenv(DATABASE_URL, other)
        say("restore", str(copy))
        assert everything(other) == before
        assert "G01-2 noted" in say("note", "G01", "tomato", "9", "2026-08-19T08:00")
        assert "plan 2, pencilled" in say("lay-out-week", WEEK)


def test_a_week_that_is_over_is_not_laid_out(
    database: str, planner: FakePlanner, monkeypatch: pytest.MonkeyPatch
):
    say("take-in", "august")
    monkeypatch.setattr("api.cli.desk.now", lambda: FRIDAY + timedelta(days=10))
    told = " ".join(say("lay-out-week", WEEK, code=2).split())
    assert f"{WEEK} is over" in told
    assert "Carry over what still asks into a week to come" in told
    assert planner.asked == []


def test_what_is_no_copy_is_refused(database: str, tmp_path: Path):
    strange = tmp_path / "strange.gz"
    strange.write_bytes(b"strange")
    say("restore", str(strange), code=2)
    say("restore", str(tmp_path / "nothing"), code=2)


def test_one_lot_is_placed_anew(
    database: str, planner: FakePlanner, monkeypatch: pytest.MonkeyPatch
):
    say("take-in", "august")
    say("lay-out-week", WEEK)
    say("post", WEEK)
    at = datetime.fromisoformat("2026-08-17T08:05:00-04:00")
    monkeypatch.setattr("api.cli.desk.now", lambda: at)
    assert "R02: its turn holds." in say("places", "R02")
    say("door", "R02", "158")
    assert say("places", "R02").startswith("part: 40 racks in D3, Mon 15:50 to Tue 06:50; 31.6 kg")
    say("place", "R02", "nowhere", code=2)
    assert "To G01: " in say("place", "R02", "part")
    late = ("later", "R09", "2026-08-19T08:00")
    assert "other run: 40 racks in D3" in say(*late)
    assert "R09 comes Wed 19 Aug 08:00; it is firm." in say(*late, "--kind", "other run")
    assert "There is room for nobody who waits." in say("offers", WEEK)
