"""Ticks through the API: every line with who did it, ticked, taken back, once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.answer.posted import posted
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen, opened

PATH = "/api/v1/day-sheets/2026-08-17/ticks"
EVENING = datetime.fromisoformat("2026-08-17T20:00-04:00")


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path) as found:
        number = found.laid_out(posted(AUGUST))
        found.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
        found.now[0] = EVENING
        yield found


@pytest.fixture
def sal(kitchen: Kitchen) -> Asking:
    return kitchen.by["hand"]


def line(sal: Asking, act: str) -> dict[str, Any]:
    return next(each for each in sal.get(PATH).json() if each["act"] == act)


def test_ticked_and_taken_back(sal: Asking):
    key = line(sal, "wash")["key"]
    done = sal.post(PATH, {"key": key, "at": "2026-08-17T08:20:00-04:00"})
    assert (done.status_code, done.json()["done"]) == (
        200,
        {"by": "Sal Orrin", "at": "2026-08-17T08:20:00-04:00"},
    )
    assert line(sal, "wash") == done.json()
    assert sal.post(PATH, {"key": key, "done": False}).json()["done"] is None


def test_one_basket_of_a_steam_line(sal: Asking):
    steam = line(sal, "steam")
    found = sal.post(PATH, {"key": steam["key"], "load": 2}).json()
    assert [each["number"] for each in found["baskets"] if each["done"]] == [2]
    assert sal.post(PATH, {"key": steam["key"]}).status_code == 422


def test_asked_again_under_its_key_it_is_ticked_once(sal: Asking, kitchen: Kitchen):
    body = {"key": line(sal, "wash")["key"]}
    first, again = (sal.post(PATH, body, headers={"Idempotency-Key": "k"}) for _ in range(2))
    assert first.json() == again.json()
    with kitchen.shelf.reading() as book:
        assert len(book.happenings.where(kind="ticked")) == 1


def test_what_has_its_own_address_is_not_just_ticked(sal: Asking):
    for act in ("weigh in", "start", "unload"):
        assert sal.post(PATH, {"key": line(sal, act)["key"]}).status_code == 409
    assert sal.post(PATH, {"key": "wash R99 W1"}).status_code == 404
    later = {"key": line(sal, "wash")["key"], "at": "2026-08-17T20:01:00-04:00"}
    assert sal.post(PATH, later).status_code == 422
