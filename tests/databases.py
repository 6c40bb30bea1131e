"""Databases for tests: copies of what was filled once, as files or on the PostgreSQL named."""

from __future__ import annotations

import atexit
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import uuid4

from sqlalchemy import Engine, make_url, text

from api.settings import DATABASE_URL
from api.store import DatabaseShelf, open_shelf
from api.store.engine import engine_for

Fill = Callable[[DatabaseShelf], None]
NAMED = make_url(os.environ.get(DATABASE_URL, "sqlite://"))  # before any test names another


def nothing(shelf: DatabaseShelf) -> None:
    """The tables only, as the migrations make them."""


@contextmanager
def fresh_url(folder: Path, fill: Fill = nothing) -> Iterator[str]:
    """The URL of a database of its own, filled so, gone afterwards."""
    if NAMED.get_backend_name() == "postgresql":
        name = _made(of=_on_server(fill))
        try:
            yield _url(name)
        finally:
            _dropped(name)
    else:
        file = folder / "plans.sqlite"
        shutil.copyfile(_in_file(fill), file)
        yield f"sqlite:///{file}"


def _filled(url: str, fill: Fill) -> None:
    with closing(open_shelf(url)) as shelf:
        fill(shelf)


@cache
def _in_file(fill: Fill) -> Path:
    file = Path(_folder().name) / f"{uuid4().hex}.sqlite"
    _filled(f"sqlite:///{file}", fill)
    return file


@cache
def _folder() -> TemporaryDirectory[str]:
    return TemporaryDirectory()  # goes with this process


@cache
def _on_server(fill: Fill) -> str:
    """The name of a database that is only copied: while it is, nobody may be connected to it."""
    name = _made(of="template1")
    atexit.register(_dropped, name)
    _filled(_url(name), fill)
    return name


def _made(*, of: str) -> str:
    name = f"test_{uuid4().hex}"
    _said(f"CREATE DATABASE {name} TEMPLATE {of}")
    return name


def _dropped(name: str) -> None:
    _said(f"DROP DATABASE {name} WITH (FORCE)")


def _said(statement: str) -> None:
    with _server().connect() as connection:
        connection.execute(text(statement))


@cache
def _server() -> Engine:
    """Each statement for itself: PostgreSQL makes no database inside a transaction."""
    engine = engine_for(_url(NAMED.database)).execution_options(isolation_level="AUTOCOMMIT")
    atexit.register(engine.dispose)
    return engine


def _url(database: str | None) -> str:
    return NAMED.set(database=database).render_as_string(hide_password=False)
