"""Opening the database, bringing its tables up to date, and one transaction a use."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import as_file, files

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, text
from sqlalchemy.orm import Session

from api.store.book import DatabaseBook
from api.store.engine import WRITES, engine_for
from api.store.in_turn import InTurn

WRITE_LOCK = 20_260_817  # any number of our own


class DatabaseShelf:
    """The port Shelf over a database."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.in_turn = InTurn()

    @contextmanager
    def reading(self) -> Iterator[DatabaseBook]:
        with Session(self.engine) as session:
            yield DatabaseBook(session)

    @contextmanager
    def writing(self) -> Iterator[DatabaseBook]:
        with self.in_turn, Session(self.engine) as session, session.begin():
            begin_writing(session.connection(execution_options={WRITES: True}))
            yield DatabaseBook(session)

    def close(self) -> None:
        self.engine.dispose()


def open_shelf(url: str) -> DatabaseShelf:
    """The shelf at that URL, its tables made or brought up to date."""
    engine = engine_for(url)
    with engine.connect().execution_options(**{WRITES: True}) as connection:
        upgrade(connection)
    return DatabaseShelf(engine)


def begin_writing(connection: Connection) -> None:
    """Wait to be the one writer until the transaction ends; SQLite saw to it at BEGIN."""
    if connection.dialect.name == "postgresql":
        lock = text("SELECT pg_advisory_xact_lock(:number)")
        connection.execute(lock, {"number": WRITE_LOCK})


def upgrade(connection: Connection) -> None:
    """Run the migrations that are missing, in one transaction."""
    with connection.begin(), as_file(files("api.store") / "migrations") as folder:
        begin_writing(connection)
        config = Config()
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
