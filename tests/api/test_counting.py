"""A grower cannot learn that another grower's lot exists: two books that differ in others alone."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest

from scheduler.domain.plan import Plan
from tests.answer.posted import posted
from tests.served import AUGUST, TOMATO, WEEK, Kitchen, opened

LATER = "2026-08-{day}T08:00:00-04:00"
OF_OTHERS = 7


@contextmanager
def week_of_hers(folder: Path, plan: Plan, *, others: bool) -> Iterator[Kitchen]:
    """August posted. others: two more growers note, change and let go for the week behind it,
    and plans are laid out that nobody posts."""
    with opened(folder) as found:
        manager = found.by["manager"]
        if others:
            _much_of_others(found, plan)
        assert manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": found.laid_out(plan)}).is_success
        yield found


def _much_of_others(kitchen: Kitchen, plan: Plan) -> None:
    manager = kitchen.by["manager"]
    for number in range(OF_OTHERS):
        said = TOMATO | {"grower_id": f"G0{2 + number % 2}", "arrives": LATER.format(day=24)}
        noted = manager.post("/api/v1/notes", said)
        assert noted.is_success
        manager.post("/api/v1/lots", {"note_id": noted.json()["id"], "weighed_kg": 9})
    for _ in range(3):
        kitchen.laid_out(plan)


def _asked(kitchen: Kitchen) -> Iterator[httpx.Response]:
    """All that a grower can ask, in the same words in both books."""
    odile = kitchen.by["grower"]
    for later in (18, 25, 26):
        yield odile.post("/api/v1/notes", TOMATO | {"arrives": LATER.format(day=later)})
    own = odile.get("/api/v1/notes").json()["items"]
    yield from _pages(kitchen)
    yield odile.get(f"/api/v1/notes/{own[-1]['id']}")
    path, seen = f"/api/v1/notes/{own[-1]['id']}", {"If-Match": '"1"'}
    yield odile.ask("PATCH", path, json={"remark": "ripe"}, headers=seen)
    yield odile.post(f"{path}/end", {"state": "let go"}, headers={"If-Match": '"2"'})
    yield odile.post("/api/v1/notes", TOMATO | {"arrives": LATER.format(day=27)})
    for what in ("turns", "lots", "papers", "me", "notes?week=2026-W35"):
        yield odile.get(f"/api/v1/{what}")
    for day in AUGUST.days:
        yield odile.get(f"/api/v1/day-sheets/{day}")
    for whose in ("R01", "G02-1", "N27", "G03-1"):
        yield odile.get(f"/api/v1/notes/{whose}")
        yield odile.get("/api/v1/notes", params={"after": whose})
    for code in ("26-226-G02-TOM", "26-226-G02-TOM-2"):
        yield odile.get(f"/api/v1/lots/{code}")
        yield odile.get(f"/api/v1/lots/{code}/trail")
    for refused in ("plans/1", f"weeks/{WEEK}/plans", "lay-outs", "messages", "deeds", "board"):
        yield odile.get(f"/api/v1/{refused}")


def _pages(kitchen: Kitchen) -> Iterator[httpx.Response]:
    after: Any = None
    while True:
        params = {"limit": 1} | ({"after": after} if after else {})
        answer = kitchen.by["grower"].get("/api/v1/notes", params=params)
        yield answer
        after = answer.json()["next"]
        if after is None:
            return


@pytest.fixture(scope="module")
def plan() -> Plan:
    return posted(AUGUST)


def test_two_books_that_differ_in_others_alone_answer_her_alike(tmp_path: Path, plan: Plan):
    told = []
    for others in (False, True):
        folder = tmp_path / str(others)
        folder.mkdir()
        with week_of_hers(folder, plan, others=others) as kitchen:
            told.append([(a.status_code, dict(a.headers), a.text) for a in _asked(kitchen)])
            count = kitchen.by["manager"].get("/api/v1/notes?limit=200").json()["items"]
            assert len(count) == len(AUGUST.notes) + 4 + OF_OTHERS * others
    alone, among_others = told
    assert len(alone) == len(among_others)
    for mine, theirs in zip(alone, among_others, strict=True):
        assert mine == theirs


def test_her_own_notes_are_counted_by_themselves(tmp_path: Path, plan: Plan):
    with week_of_hers(tmp_path, plan, others=True) as kitchen:
        kitchen.now[0] += timedelta(minutes=1)
        ids = [kitchen.by["grower"].post("/api/v1/notes", TOMATO).json()["id"] for _ in range(3)]
        assert ids == ["G01-1", "G01-2", "G01-3"]
