"""What asking for lay-outs, and doing them, needs from outside."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from threading import Event
from typing import Any, Protocol

from api.records.jobs import Job

Take = Callable[[int | None], bool]  # see Rounds


class Jobs(Protocol):
    """The lay-outs asked for, inside one transaction."""

    def add(self, job: Job, asked: Any) -> Job:
        """Keep a new one with what it is asked about, as a JSON value; workers hear of it when the
        transaction is kept."""
        ...

    def find(self, *key: object) -> Job | None:
        """The one with that number."""
        ...

    def where(
        self, *, after: object = None, limit: int | None = None, **equals: Any
    ) -> tuple[Job, ...]:
        """Those whose fields equal what is named, in order of asking."""
        ...

    def claim(
        self, worker: str, *, at: datetime, until: datetime, number: int | None = None
    ) -> Job | None:
        """The one asked first that nobody holds, or whose holder let the lease run out; what
        supposes something of a season only where there is nothing else.

        It is that worker's until then. number: that one or none. None where there is none: no two
        workers ever hold the same one.
        """
        ...

    def asked(self, number: int) -> Any:
        """What it is asked about."""
        ...

    def best(self, number: int) -> Any:
        """The best draft that a worker kept, as a JSON value, or None."""
        ...

    def change(self, job: Job, **fields: Any) -> bool:
        """Set fields (best is one) if its state, worker and tries are still as seen in job.

        False where they no longer are: then it is somebody else's.
        """
        ...

    def want_stop(self, number: int) -> None:
        """Whoever holds it hears that it is to stop."""
        ...


class Rounds(Protocol):
    """How a worker comes to its lay-outs, round after round."""

    def __call__(self, take: Take, ending: Event, *, lease: timedelta) -> None:
        """Call take whenever there may be something to do, until ending is set.

        take is given the number of a lay-out, or None for whichever is next; it answers False where
        there was none to be had. lease: how long a worker may not be heard of.
        """
        ...
