"""How many lay-outs a minute one worker does, and two: python -m tests.api.bench_workers

On the database of COMMONRACK_DATABASE_URL, with every queue that it has.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from api.settings import QueueName
from scheduler.scenario import load
from tests.api.lay_outs import asked_for, queues_here, seen, shelf_with
from tests.api.workers import once, workers

AUGUST = load("august")
LAY_OUTS, SECONDS = 20, 8.0


def minutes_for(count: int, queue: QueueName, folder: Path) -> float:
    with shelf_with("august", folder, queue) as (shelf, url), workers(count, url, queue):
        begin = time.monotonic()
        numbers = [asked_for(shelf, AUGUST.week, seconds=SECONDS).number for _ in range(LAY_OUTS)]
        once(lambda: all(seen(shelf, each).state == "done" for each in numbers), within=600)
        return (time.monotonic() - begin) / 60


def main() -> None:
    for queue in queues_here():
        for count in (1, 2):
            with TemporaryDirectory() as folder:
                taken = minutes_for(count, queue, Path(folder))
            rate = LAY_OUTS / taken
            sys.stdout.write(f"{queue}, {count} at work: {rate:.1f} lay-outs a minute\n")


if __name__ == "__main__":
    main()
