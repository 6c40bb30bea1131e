"""The same lay-outs, handed out by procrastinate on PostgreSQL (the extra `distributed`).

The table of lay-outs stays what counts: procrastinate says when there may be something to do and
notices workers that were lost; who holds a lay-out is written in its row, as without procrastinate.
"""

from __future__ import annotations

import asyncio
from contextlib import suppress
from datetime import timedelta
from functools import lru_cache
from threading import Event
from typing import Any

from procrastinate import App, PsycopgConnector, RetryStrategy, SyncPsycopgConnector
from procrastinate.schema import SchemaManager
from sqlalchemy import Connection, Engine, inspect
from sqlalchemy.orm import Session

from api.records.jobs import UNDER_WAY, Job
from api.services.job_ports import Take
from api.store.job_queue import DatabaseJobs

TASK, QUEUE = "lay_out", "lay-outs"
LOOKS_A_LEASE = 4  # for jobs of workers that were lost
MOST_OFTEN = 1.0  # seconds between two looks of a worker, should it hear of nothing


class NotYet(Exception):
    """Somebody else holds the lay-out, or it was handed back: it must be looked at again."""


class ProcrastinateJobs(DatabaseJobs):
    """The port Jobs: what is asked for is deferred to procrastinate in the same transaction."""

    def add(self, job: Job, asked: Any) -> Job:
        kept = super().add(job, asked)
        connection = self.session.connection().connection.driver_connection
        task = _deferring().configure_task(TASK, queue=QUEUE, connection=connection)
        task.defer(number=kept.number)
        return kept


@lru_cache
def _deferring() -> App:
    """Never opened: it works on the connections that it is handed."""
    return App(connector=SyncPsycopgConnector())


class ProcrastinateQueue:
    """The table, and procrastinate's own beside it."""

    jobs = ProcrastinateJobs

    def make_tables(self, connection: Connection) -> None:
        if not inspect(connection).has_table("procrastinate_jobs"):
            driver: Any = connection.connection.driver_connection
            driver.execute(SchemaManager.get_schema())

    def rounds(self, engine: Engine, take: Take, ending: Event, *, lease: timedelta) -> None:
        """Take what procrastinate hands out, again if it was not brought to an end."""
        app = App(connector=PsycopgConnector(conninfo=_address(engine), min_size=1, max_size=4))

        @app.task(name=TASK, queue=QUEUE, retry=RetryStrategy(wait=1))
        def lay_out(number: int) -> None:
            take(number)
            if not _has_ended(engine, number):
                raise NotYet

        asyncio.run(_serve(app, ending, lease.total_seconds()))


async def _serve(app: App, ending: Event, lease_s: float) -> None:
    often = min(MOST_OFTEN, lease_s / LOOKS_A_LEASE)
    async with app.open_async():
        working = asyncio.create_task(
            app.run_worker_async(
                queues=[QUEUE],
                delete_jobs="successful",
                fetch_job_polling_interval=MOST_OFTEN,
                install_signal_handlers=False,
                update_heartbeat_interval=often,
                stalled_worker_timeout=lease_s,
            )
        )
        while not (ending.is_set() or working.done()):
            await _rescue(app, lease_s)
            await asyncio.wait([working], timeout=often)
        working.cancel()
        with suppress(asyncio.CancelledError):
            await working


async def _rescue(app: App, lease_s: float) -> None:
    """Hand out again what workers held that are no longer heard of."""
    manager = app.job_manager
    for job in await manager.get_stalled_jobs(queue=QUEUE, seconds_since_heartbeat=lease_s):
        await manager.retry_job(job)


def _has_ended(engine: Engine, number: int) -> bool:
    with Session(engine) as session:
        job = DatabaseJobs(session).find(number)
    return job is None or job.state not in UNDER_WAY


def _address(engine: Engine) -> str:
    """As libpq reads it."""
    return engine.url.set(drivername="postgresql").render_as_string(hide_password=False)
