"""Pinned, forbidden and left free: kept for a week, told beforehand, undone one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from api.records.plans import From
from api.services.asking import asked_of
from api.services.deeds import deeds
from api.services.errors import ChangedMeanwhile, NotAllowed, NotNow
from api.services.notes import end
from api.services.plans import keep
from api.services.ports import Book
from api.services.posting import post
from api.services.weeks import week_entry
from api.services.wishes import judge, undo, when, wish_for, wishes
from api.store import DatabaseShelf
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.domain.wish import Wish
from scheduler.errors import BadInput
from scheduler.scenario import load
from scheduler.verify import verify
from tests.answer.posted import posted
from tests.api.lay_outs import taken_in
from tests.book import HAND, MANAGER, doing
from tests.served import Kitchen
from tests.shelves import FRIDAY, fresh_shelf
from web.command import app

AUGUST = load("august")
WEEK, NOW = AUGUST.week, doing(MANAGER)
ZONE = AUGUST.kitchen.zone
TUESDAY = when(ZONE, day=WEEK.days[1])
WEDNESDAY = when(ZONE, day=WEEK.days[2])
R03 = Wish(0, "pin", "R03", span=WEDNESDAY)
FREE = Wish(0, "leave free", "", "D1", TUESDAY)


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path, taken_in("august")) as found:
        yield found


@pytest.fixture
def book(shelf: DatabaseShelf) -> Iterator[Book]:
    with shelf.writing() as found:
        yield found


def laid_out(book: Book, plan: Plan) -> int:
    asked, week = asked_of(book, WEEK, now=FRIDAY), week_entry(book, WEEK)
    origin = From(week.notes_version, week.posted, "lotte")
    return keep(book.plans, asked, plan, laid_out_at=FRIDAY, origin=origin)


def test_what_is_wished_is_asked_of_the_next_lay_out_until_it_is_undone(book: Book):
    pinned, free = wish_for(book, NOW, WEEK, R03), wish_for(book, NOW, WEEK, FREE)
    asked = asked_of(book, WEEK, now=FRIDAY)
    assert asked.wishes == (pinned.wish, free.wish)
    assert replace(pinned.wish, number=0) == R03
    undo(book, NOW, pinned.number)
    assert asked_of(book, WEEK, now=FRIDAY).wishes == (free.wish,)
    assert wishes(book, NOW, WEEK) == (free,)
    told = [each.told for each in deeds(book, NOW, after=None, limit=None)]
    assert [each.get("wish") or each.get("undone") for each in told[1:]] == [
        pinned.number,
        free.number,
        pinned.number,
    ]
    with pytest.raises(NotNow, match="undone already"):
        undo(book, NOW, pinned.number)


def test_a_plan_of_the_week_keeps_to_it(book: Book):
    wish_for(book, NOW, WEEK, FREE)
    asked = asked_of(book, WEEK, now=FRIDAY)
    made = posted(asked)
    assert verify(asked, made) == ()
    days = {run.start.astimezone(ZONE).date() for run in made.runs if run.dryer_id == "D1"}
    assert WEEK.days[1] not in days
    assert days


def test_a_note_that_is_let_go_takes_its_wishes_with_it(book: Book):
    wish_for(book, NOW, WEEK, R03)
    entry = book.notes.find("R03")
    assert entry is not None
    end(book, NOW, "R03", version=entry.version, state="let go")
    assert asked_of(book, WEEK, now=FRIDAY).wishes == ()


def test_what_was_wished_since_is_laid_out_before_it_is_posted(book: Book, plan: Plan):
    number = laid_out(book, plan)
    kept = wish_for(book, NOW, WEEK, FREE)
    with pytest.raises(ChangedMeanwhile, match="what is pinned, forbidden or left free changed"):
        post(book, NOW, number)
    undo(book, NOW, kept.number)
    post(book, NOW, number)


def test_it_is_told_beforehand_beside_the_plan_that_stands(book: Book, plan: Plan):
    post(book, NOW, laid_out(book, plan))
    on_d1 = {c.note_id: run for run, c in plan.charges() if run.dryer_id == "D1"}
    note_id, run = next(iter(on_d1.items()))
    there = Wish(0, "pin", note_id, "D1", when(ZONE, start=run.start))
    assert judge(book, NOW, WEEK, there).verdict == "fits"
    elsewhere = Wish(0, "forbid", note_id, "D1", when(ZONE, day=run.start.astimezone(ZONE).date()))
    told = judge(book, NOW, WEEK, elsewhere)
    assert (told.verdict, told.rule) == ("breaks a rule", 18)
    assert wishes(book, NOW, WEEK) == ()


@pytest.mark.parametrize(
    ("wish", "field"),
    [
        (Wish(0, "pin", "X99", "D1"), "note_id"),
        (Wish(0, "pin", "R03", "D99"), "dryer_id"),
        (Wish(0, "pin", "R03"), "dryer_id"),
        (Wish(0, "leave free", "", "D1"), "dryer_id"),
        (Wish(0, "pin", "R03", span=Span(FRIDAY, FRIDAY + timedelta(hours=1))), "start"),
    ],
)
def test_what_names_nothing_is_refused(book: Book, wish: Wish, field: str):
    with pytest.raises(BadInput) as refused:
        wish_for(book, NOW, WEEK, wish)
    assert [each.field for each in refused.value.faults] == [field]


def test_a_wish_is_kept_once_and_only_for_what_is_to_come(book: Book):
    wish_for(book, NOW, WEEK, R03)
    with pytest.raises(NotNow, match="wished already"):
        wish_for(book, NOW, WEEK, R03)
    late = doing(MANAGER, FRIDAY + timedelta(days=30))
    with pytest.raises(NotNow, match="over"):
        wish_for(book, late, WEEK, FREE)
    with pytest.raises(NotAllowed):
        wish_for(book, doing(HAND), WEEK, FREE)


def test_over_http_it_is_judged_kept_listed_and_undone(kitchen: Kitchen):
    manager, where = kitchen.by["manager"], f"/api/v1/weeks/{WEEK}/wishes"
    wanted = {"kind": "pin", "note_id": "R03", "dryer_id": "D2", "day": "2026-08-19"}
    told = manager.post(f"{where}/judged", wanted).json()
    assert told["verdict"] in ("fits", "moves others", "breaks a rule")
    assert manager.get(where).json() == []
    kept = manager.post(where, wanted)
    assert kept.status_code == 201
    assert kept.json()["start"] == "2026-08-19T00:00:00-04:00"
    assert [each["number"] for each in manager.get(where).json()] == [kept.json()["number"]]
    assert manager.post(f"/api/v1/wishes/{kept.json()['number']}/undo", {}).status_code == 200
    assert manager.get(where).json() == []
    backwards = wanted | {"start": "2026-08-19T08:00:00Z", "end": "2026-08-19T08:00:00Z"}
    assert manager.post(where, backwards).status_code == 422


def test_at_the_command_line(shelf: DatabaseShelf, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("api.cli.desk.now", lambda: FRIDAY)
    monkeypatch.setattr("api.cli.desk.open_shelf", lambda *_, **__: shelf)
    runner = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1"})

    def say(*words: str) -> str:
        with monkeypatch.context() as kept_open:
            kept_open.setattr(DatabaseShelf, "close", lambda _: None)
            done = runner.invoke(app, list(words))
        assert done.exit_code == 0, done.output
        return done.output

    assert "Kept" not in say("pin", "R03", "--dryer", "D2", "--only-tell")
    assert "Kept as wish 1: pin R03: " in say("pin", "R03", "--day", "2026-08-19")
    assert "Kept as wish 2: forbid R04: " in say("forbid", "R04", "--at", "2026-08-18T11:00")
    out = say("leave-free", "D1", "2026-08-19T11:00", "2026-08-19T15:00")
    assert "Kept as wish 3" in out
    assert "forbid R04" in say("wishes", str(WEEK), "--undo", "1")
    assert "R03" not in say("wishes", str(WEEK))
