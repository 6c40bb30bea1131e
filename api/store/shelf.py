"""Opening the database, bringing its tables up to date, and one transaction a use."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from importlib.resources import as_file, files
from threading import Event

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, make_url, text
from sqlalchemy.orm import Session

from api.services.in_turn import InTurn
from api.services.job_ports import Jobs, Take
from api.settings import QUEUE, QueueName
from api.store.book import DatabaseBook
from api.store.engine import WRITES, engine_for
from api.store.job_queue import OWN, Queue
from scheduler.errors import BadInput, InputFault

WRITE_LOCK = 20_260_817  # any number of our own


class DatabaseShelf:
    """The port Shelf over a database."""

    def __init__(self, engine: Engine, queue: Queue = OWN) -> None:
        self.engine = engine
        self.queue = queue
        self.in_turn = InTurn()

    @contextmanager
    def reading(self) -> Iterator[DatabaseBook]:
        with Session(self.engine) as session:
            if self.engine.dialect.name == "postgresql":  # one and the same book until the end
                session.connection(execution_options={"isolation_level": "REPEATABLE READ"})
            yield DatabaseBook(session, self.queue.jobs)

    @contextmanager
    def writing(self) -> Iterator[DatabaseBook]:
        with self.in_turn, Session(self.engine) as session, session.begin():
            begin_writing(session.connection(execution_options={WRITES: True}))
            yield DatabaseBook(session, self.queue.jobs)

    @contextmanager
    def rehearsing(self) -> Iterator[DatabaseBook]:
        with self.in_turn, Session(self.engine) as session:  # closed without being committed
            begin_writing(session.connection(execution_options={WRITES: True}))
            yield DatabaseBook(session, self.queue.jobs)

    @contextmanager
    def working(self) -> Iterator[Jobs]:
        with Session(self.engine) as session, session.begin():
            session.connection(execution_options={WRITES: True})
            yield self.queue.jobs(session)

    def rounds(self, take: Take, ending: Event, *, lease: timedelta) -> None:
        """The port Rounds: as the queue of this shelf does it."""
        self.queue.rounds(self.engine, take, ending, lease=lease)

    def close(self) -> None:
        self.engine.dispose()


def open_shelf(url: str, *, queue: QueueName = "own") -> DatabaseShelf:
    """The shelf at that URL, its tables made or brought up to date."""
    engine, chosen = engine_for(url), _queue(queue, url)
    with engine.connect().execution_options(**{WRITES: True}) as connection:
        upgrade(connection, chosen)
    return DatabaseShelf(engine, chosen)


def _queue(name: QueueName, url: str) -> Queue:
    if name == "own":
        return OWN
    if make_url(url).get_backend_name() != "postgresql":
        raise BadInput((InputFault(QUEUE, None, None, "procrastinate needs PostgreSQL"),))
    try:
        from api.store.procrastinate_queue import ProcrastinateQueue  # noqa: PLC0415 an extra
    except ImportError as error:
        message = f"procrastinate needs the extra `distributed`: {error}"
        raise BadInput((InputFault(QUEUE, None, None, message),)) from None
    return ProcrastinateQueue()


def begin_writing(connection: Connection) -> None:
    """Wait to be the one writer until the transaction ends; SQLite saw to it at BEGIN."""
    if connection.dialect.name == "postgresql":
        lock = text("SELECT pg_advisory_xact_lock(:number)")
        connection.execute(lock, {"number": WRITE_LOCK})


def upgrade(connection: Connection, queue: Queue) -> None:
    """Run the migrations that are missing, in one transaction."""
    with connection.begin(), as_file(files("api.store") / "migrations") as folder:
        begin_writing(connection)
        config = Config()
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        queue.make_tables(connection)
