"""Shelves for tests, each over a database of its own."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from api.services.plans import keep
from api.services.ports import Shelf
from api.store import DatabaseShelf, open_shelf
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from tests.databases import Fill, fresh_url, nothing

FRIDAY = datetime(2026, 8, 14, 19, 5, tzinfo=UTC)


@contextmanager
def fresh_shelf(folder: Path, fill: Fill = nothing) -> Iterator[DatabaseShelf]:
    """A shelf filled so, closed afterwards."""
    with fresh_url(folder, fill) as url:
        shelf = open_shelf(url)
        try:
            yield shelf
        finally:
            shelf.close()


def put(shelf: Shelf, asked: Asked, plan: Plan, *, laid_out_at: datetime = FRIDAY) -> int:
    with shelf.writing() as book:
        return keep(book.plans, asked, plan, laid_out_at=laid_out_at)
