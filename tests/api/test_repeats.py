"""A change that is asked for again under its key is answered again, not refused as too late."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from api.app import create_service
from api.store import DatabaseShelf
from tests.asking import Asking
from tests.book import MANAGER, token_of
from tests.served import august_and_people
from tests.shelves import FRIDAY, fresh_shelf

NOTE = "/api/v1/notes/R02"
CHANGES: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("PATCH", NOTE, {"field_kg": 90}),
    ("POST", f"{NOTE}/end", {"state": "let go"}),
    ("POST", f"{NOTE}/carry-over", {"arrives": "2026-08-25T08:00:00-04:00"}),
)


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path, august_and_people) as found:
        yield found


@pytest.fixture
def manager(shelf: DatabaseShelf) -> Asking:
    with shelf.writing() as book:
        token = token_of(book, MANAGER)
    return Asking(create_service(shelf, clock=lambda: FRIDAY), token)


@pytest.mark.parametrize(("method", "path", "body"), CHANGES)
def test_a_repeat_hears_the_first_answer(
    shelf: DatabaseShelf, manager: Asking, method: str, path: str, body: dict[str, Any]
):
    headers = {"If-Match": '"1"', "Idempotency-Key": "k1"}
    first = manager.ask(method, path, json=body, headers=headers)
    assert first.is_success, first.text
    again = manager.ask(method, path, json=body, headers=headers)
    assert (again.status_code, again.json()) == (first.status_code, first.json())
    assert again.headers["etag"] == first.headers["etag"]
    with shelf.reading() as book:
        deeds = book.deeds.where(subject="R02")
    assert len(deeds) == 1
    anew = manager.ask(method, path, json=body, headers=headers | {"Idempotency-Key": "k2"})
    assert anew.status_code == 412
