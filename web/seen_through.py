"""Work that was asked for at the command line, done there; or by a worker that was quicker."""

from __future__ import annotations

import time
from threading import Event

from api.cli.desk import CommandDesk
from api.records.jobs import UNDER_WAY

LOOKS_AGAIN_S = 1.0


def seen_through(desk: CommandDesk, number: int) -> None:
    """Ends when the work has ended, whoever does it."""
    from api.worker import Worker  # noqa: PLC0415 only who lays out loads the solver

    worker = Worker(desk.shelf, Event())
    while not worker.take(number):
        with desk.reading() as (book, _):
            job = book.jobs.find(number)
        if job is None or job.state not in UNDER_WAY:
            return
        time.sleep(LOOKS_AGAIN_S)
