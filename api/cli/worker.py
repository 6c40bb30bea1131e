"""The worker at the command line, and the one that a serving process starts beside itself."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from threading import Event, Thread
from typing import Annotated

import typer

from api.cli.desk import app
from api.logs import log_as_json
from api.settings import Settings
from scheduler.cli.plainly import EXIT_CODES, plainly

GOODBYE = 10.0  # seconds that a worker has to hand back what it was doing
PAUSE = 2.0  # until one that fell over is started again


@app.command("worker", epilog=EXIT_CODES)
def worker_command(
    lease: Annotated[
        float, typer.Option(help="Seconds after which a silent worker is given up.", min=1)
    ] = 20,
    explain_seconds: Annotated[
        float, typer.Option(help="How long to look for what would place a waiting note.", min=0)
    ] = 2,
    climbers: Annotated[int, typer.Option(help="Processes that look for better.", min=1)] = 2,
) -> None:
    """Lay out what is asked for, until it is ended; any number of them, on any number of machines.

    Example: commonrack worker --climbers 4
    """
    from api.worker import Way, work  # noqa: PLC0415 only who lays out loads the solver

    log_as_json()
    with plainly():
        way = Way(timedelta(seconds=lease), explain_seconds, climbers)
        work(Settings.of(os.environ), _ending_on_signals(), way=way)


def _ending_on_signals() -> Event:
    """Set at the first sign that the process should go; what it does is handed back."""
    ending = Event()
    for each in (signal.SIGINT, signal.SIGTERM):
        signal.signal(each, lambda *_: ending.set())
    return ending


@contextmanager
def a_worker_beside(settings: Settings) -> Iterator[None]:
    """A worker in a process of its own while the block runs, started again if it falls over.

    It goes when this process has gone, however that went.
    """
    over = Event()
    keeper = Thread(target=_keep_one, args=(settings, over), name="keeper", daemon=True)
    keeper.start()
    try:
        yield
    finally:
        over.set()
        keeper.join()


def _keep_one(settings: Settings, over: Event) -> None:
    context = multiprocessing.get_context("spawn")
    while not over.is_set():
        process = context.Process(target=_beside, args=(settings,))
        process.start()
        while process.is_alive() and not over.wait(0.2):
            pass
        if over.is_set():
            process.terminate()
            process.join(GOODBYE)
            process.kill()
        process.join()
        over.wait(PAUSE)


def _beside(settings: Settings) -> None:
    """The life of such a worker."""
    from api.worker import work  # noqa: PLC0415 only who lays out loads the solver

    ending = _ending_on_signals()
    parent = multiprocessing.parent_process()
    assert parent is not None

    def until_it_has_gone() -> None:
        parent.join()
        ending.set()

    Thread(target=until_it_has_gone, name="parent", daemon=True).start()
    log_as_json()
    work(settings, ending)
