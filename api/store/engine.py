"""The connection to the database: SQLite set to keep what was acknowledged, or PostgreSQL."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url

from api.store.columns import json_from_text, json_to_text

WRITES = "commonrack_writes"  # execution option: take SQLite's one writing place at the start
AT_ONCE = 20  # connections kept open; as many again for a rush: a server's forty threads
FOR_ITS_OWNER = 0o600  # a file of personal data, on a machine that others use too
PRAGMAS = (
    "PRAGMA journal_mode = WAL",
    "PRAGMA synchronous = FULL",
    "PRAGMA busy_timeout = 5000",
    "PRAGMA foreign_keys = ON",
)


def engine_for(url: str) -> Engine:
    """An engine for an SQLAlchemy URL; postgresql:// means psycopg, an SQLite folder is made."""
    target = make_url(url)
    if target.drivername == "postgresql":
        target = target.set(drivername="postgresql+psycopg")
    engine = create_engine(  # errors go into logs: what was being written does not
        target,
        pool_size=AT_ONCE,
        max_overflow=AT_ONCE,
        hide_parameters=True,
        json_serializer=json_to_text,
        json_deserializer=json_from_text,
    )
    if target.get_backend_name() == "sqlite":
        if target.database and target.database != ":memory:":
            Path(target.database).parent.mkdir(parents=True, exist_ok=True)
            Path(target.database).touch(mode=FOR_ITS_OWNER)  # if it is new
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    return engine


def _set_up_sqlite(connection: Any, record: object) -> None:
    connection.isolation_level = None  # the driver must not begin transactions of its own
    cursor = connection.cursor()
    for pragma in PRAGMAS:
        cursor.execute(pragma)
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
