"""Shelves for tests: a fresh SQLite file, or a fresh schema on the PostgreSQL that was named."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from sqlalchemy import make_url, text

from api.services.plans import keep
from api.services.ports import Shelf
from api.settings import DATABASE_URL
from api.store import DatabaseShelf, open_shelf
from api.store.engine import engine_for
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan

FRIDAY = datetime(2026, 8, 14, 19, 5, tzinfo=UTC)


@contextmanager
def fresh_url(folder: Path) -> Iterator[str]:
    """The URL of an empty database, gone afterwards."""
    url = make_url(os.environ.get(DATABASE_URL, "sqlite://"))
    if url.get_backend_name() != "postgresql":
        yield f"sqlite:///{folder / 'plans.sqlite'}"
        return
    schema = f"test_{uuid4().hex}"
    engine = engine_for(url.render_as_string(hide_password=False))
    with engine.begin() as connection:
        connection.execute(text(f"CREATE SCHEMA {schema}"))
    own = url.update_query_dict({"options": f"-csearch_path={schema}"})
    try:
        yield own.render_as_string(hide_password=False)
    finally:
        with engine.begin() as connection:
            connection.execute(text(f"DROP SCHEMA {schema} CASCADE"))
        engine.dispose()


@contextmanager
def fresh_shelf(folder: Path) -> Iterator[DatabaseShelf]:
    """An empty shelf, closed afterwards."""
    with fresh_url(folder) as url:
        shelf = open_shelf(url)
        try:
            yield shelf
        finally:
            shelf.close()


def put(shelf: Shelf, asked: Asked, plan: Plan, *, laid_out_at: datetime = FRIDAY) -> int:
    with shelf.writing() as book:
        return keep(book.plans, asked, plan, laid_out_at=laid_out_at)
