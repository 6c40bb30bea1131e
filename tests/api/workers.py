"""Worker processes for tests, and a wait for what they do."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from api.records.jobs import Job
from api.settings import DATABASE_URL, QUEUE, QueueName

LEASE_S = 2.0
WORKER = ("-m", "web", "worker", "--lease", str(LEASE_S), "--explain-seconds", "0")


@contextmanager
def workers(count: int, url: str, queue: QueueName) -> Iterator[dict[int, subprocess.Popen[str]]]:
    """So many, by process number, all of them looking for work; ended afterwards."""
    environment = {**os.environ, DATABASE_URL: url, QUEUE: queue}
    started = [
        subprocess.Popen(
            [sys.executable, *WORKER, "--climbers", "1"],
            env=environment,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(count)
    ]
    try:
        for each in started:
            assert each.stderr is not None
            assert "worker begins" in each.stderr.readline()
        yield {each.pid: each for each in started}
    finally:
        for each in started:
            each.terminate()
        for each in started:
            each.communicate(timeout=30)


def holder(job: Job) -> int:
    """The process number of the worker that holds it."""
    return int(job.worker.split("-")[-2])


def once(found: Callable[[], bool], *, within: float = 60) -> None:
    until = time.monotonic() + within
    while not found():
        assert time.monotonic() < until, "it did not come to that"
        time.sleep(0.1)
