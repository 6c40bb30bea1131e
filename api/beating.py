"""While a lay-out is worked on: what is found is kept, the lease held, a stop heard."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from threading import Event, Thread
from types import TracebackType
from typing import Protocol

import structlog

from api.records.jobs import Job, Step
from api.services.jobs import Lost, SoFar, beat, gone_on
from api.services.ports import Shelf
from scheduler.errors import CommonrackError
from scheduler.plan_file import value_to_json
from scheduler.problem import Draft

BEATS_A_LEASE = 4
MOST_OFTEN = 1.0  # seconds between two beats
_log = structlog.get_logger("commonrack")


class Leaving(CommonrackError):
    """The worker is going: what it does is for another to go on with."""


class Found(Protocol):
    """What a search tells of itself: scheduler.planning.Progress."""

    @property
    def seconds(self) -> float: ...
    @property
    def worth_g(self) -> int: ...
    @property
    def bound_g(self) -> int: ...
    @property
    def whiteboard_g(self) -> int: ...
    @property
    def best(self) -> Draft: ...


class Beating:
    """A thread beats beside the search, which only leaves word of what it has found.

    watch and on_explain are what lay_out calls; out of them comes Lost where the lay-out is no
    longer this worker's, and Leaving once ending is set.
    """

    def __init__(
        self,
        shelf: Shelf,
        job: Job,
        ending: Event,
        *,
        lease: timedelta,
        clock: Callable[[], datetime],
    ) -> None:
        self.shelf, self.job, self.ending, self.lease, self.clock = shelf, job, ending, lease, clock
        self.latest: Found | None = None
        self.told: SoFar | None = None
        self.course = job.course
        self.kept_g = job.worth_g  # the worth of the draft that is kept
        self.stop_wanted, self.stopped, self.lost = job.stop_wanted, False, False
        self._over = Event()
        self._thread = Thread(target=self._beats, name="beats", daemon=True)

    def __enter__(self) -> Beating:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._over.set()
        self._thread.join()

    def watch(self, found: Found) -> bool:
        """Hear how far the search is; True if it is to stop."""
        self.latest = found
        step = Step(self.job.spent + found.seconds, found.worth_g, self._bound_g(found))
        self.course = gone_on(self.course, step)
        return self._heard()

    def tell(self, so_far: SoFar) -> bool:
        """Keep that with the next beat, of work that finds no draft; True if it is to stop."""
        self.told = so_far
        return self._heard()

    def on_explain(self, _: str) -> bool:
        """True if no more is to be explained."""
        return self._heard()

    def so_far(self) -> SoFar | None:
        """All that was found, with the best draft unless it is no news."""
        found = self.latest
        if found is None:
            return self.told
        news = found.worth_g != self.kept_g
        return SoFar(
            spent=self.job.spent + found.seconds,
            worth_g=found.worth_g,
            bound_g=self._bound_g(found),
            whiteboard_g=found.whiteboard_g,
            best=value_to_json(found.best) if news else None,
            course=self.course,
        )

    def _bound_g(self, found: Found) -> int:
        """What a worker that was lost had proved still holds."""
        return min(found.bound_g, self.job.bound_g or found.bound_g)

    def _heard(self) -> bool:
        if self.lost:
            raise Lost(f"lay-out {self.job.number} is no longer held")
        if self.ending.is_set():
            raise Leaving
        self.stopped = self.stopped or self.stop_wanted
        return self.stopped

    def _beats(self) -> None:
        while not self._over.wait(min(MOST_OFTEN, self.lease.total_seconds() / BEATS_A_LEASE)):
            try:
                self._beat()
            except Lost:
                self.lost = True
                return
            except Exception:  # the next may come through; if none does, the lease runs out
                _log.exception("beat failed", lay_out=self.job.number)

    def _beat(self) -> None:
        so_far, until = self.so_far(), self.clock() + self.lease
        with self.shelf.working() as jobs:
            self.stop_wanted = beat(jobs, self.job, until=until, so_far=so_far)
        if so_far is None:
            return
        self.kept_g = so_far.worth_g
        if self.told is so_far:
            self.told = None  # it is kept
