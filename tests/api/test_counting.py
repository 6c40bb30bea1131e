"""A grower cannot learn that another grower's lot exists: two books that differ in others alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import httpx

from scheduler.domain.plan import Plan
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
    for what in (f"turns?week={WEEK}", "lots", "papers", "me", "notes?week=2026-W35"):
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


def _in_both(
    folder: Path, plan: Plan, asked: Callable[[Kitchen], Iterator[httpx.Response]]
) -> Iterator[Any]:
    """What each book answers, side by side."""
    told = []
    for others in (False, True):
        own = folder / str(others)
        own.mkdir()
        with week_of_hers(own, plan, others=others) as kitchen:
            told.append([(a.status_code, dict(a.headers), a.text) for a in asked(kitchen)])
            count = kitchen.by["manager"].get("/api/v1/notes?limit=200").json()["items"]
            noted = sum(note["id"].startswith("G01-") for note in count)
            assert len(count) == len(AUGUST.notes) + noted + OF_OTHERS * others
    return zip(*told, strict=True)


def test_two_books_that_differ_in_others_alone_answer_her_alike(tmp_path: Path, plan: Plan):
    for alone, among_others in _in_both(tmp_path, plan, _asked):
        assert alone == among_others


def _through_a_dryer(kitchen: Kitchen) -> Iterator[httpx.Response]:
    """Her lot weighed in, dried, unloaded and read; then what she is told of it."""
    hand = kitchen.by["hand"]

    def said(path: str, body: Any, **headers: str) -> Any:
        done = hand.post(f"/api/v1/{path}", body, headers=headers)
        assert done.is_success, done.text
        return done.json()

    kitchen.now[0] = AUGUST.note("R02").arrives + timedelta(hours=1)
    code = said("lots", {"note_id": "R02", "weighed_kg": 118})["code"]
    charges = [{"note_id": "R02", "racks": 1}]
    ends = (kitchen.now[0] + timedelta(hours=2)).isoformat()
    start = {"dryer_id": "D1", "set_point_c": 57, "ends": ends, "charges": charges}
    run = said("runs", start)["number"]
    kitchen.now[0] += timedelta(hours=3)
    said(f"runs/{run}/end", {})
    said(f"runs/{run}/unload", {})
    seen = hand.get(f"/api/v1/lots/{code}").headers["ETag"]
    reading = {"rack": 1, "water_activity": 0.5, "moisture_percent": 8}
    check = {"readings": [reading], "decision": "hold", "decided_by": "Lotte Amberry"}
    said(f"lots/{code}/dry-checks", check, **{"If-Match": seen})
    told = ("lots", f"lots/{code}", f"lots/{code}/trail", f"turns?week={WEEK}", "notes/R02")
    for what in (*told, "invoices?month=2026-08-01"):
        answer = kitchen.by["grower"].get(f"/api/v1/{what}")
        assert answer.is_success
        yield answer


def test_what_became_of_her_lot_counts_no_runs_of_others(tmp_path: Path, plan: Plan):
    for alone, among_others in _in_both(tmp_path, plan, _through_a_dryer):
        assert alone == among_others


def test_her_own_notes_are_counted_by_themselves(tmp_path: Path, plan: Plan):
    with week_of_hers(tmp_path, plan, others=True) as kitchen:
        kitchen.now[0] += timedelta(minutes=1)
        ids = [kitchen.by["grower"].post("/api/v1/notes", TOMATO).json()["id"] for _ in range(3)]
        assert ids == ["G01-1", "G01-2", "G01-3"]
