"""The process that lays out: claims what was asked for, looks for better, keeps the plan."""

from __future__ import annotations

import os
import socket
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from secrets import token_hex
from threading import Event

import structlog

from api.beating import Beating, Leaving
from api.records.jobs import Job, Mending, SupposedFound, Supposing, SupposingSeason
from api.services.board_suppositions import end_season_early, finish_season
from api.services.jobs import Lost, SoFar, asked_about, claim, fail, finish, hand_back
from api.services.mends import finish_mend
from api.services.ports import Shelf
from api.services.season import records_of
from api.services.suppositions import finish_supposed
from api.settings import Settings
from api.store import open_shelf
from scheduler.comparing import compared
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput, BrokenPromise
from scheduler.plan_file import value_from_json, value_to_json
from scheduler.planning import EXPLAIN_SECONDS, LaidOut, Limits, lay_out
from scheduler.problem import Draft
from scheduler.re_lay import in_hand, re_laid
from scheduler.replay.beside import Tried, tried
from scheduler.replay.changes import BY_KEY
from scheduler.replay.options import verdict, worded
from scheduler.replay.pace import Pace
from scheduler.replay.suppose import Tries, suppose
from scheduler.replay.supposed import Trial
from scheduler.replay.supposed_week import AFRESH, supposed_week

_log = structlog.get_logger("commonrack")


@dataclass(frozen=True, slots=True)
class Way:
    """How a worker works.

    lease: how long a lay-out is its own without a beat. explain_seconds: for each note that waits.
    climbers: processes of a search.
    """

    lease: timedelta = timedelta(seconds=20)
    explain_seconds: float = EXPLAIN_SECONDS
    climbers: int = 2


def work(settings: Settings, ending: Event, *, way: Way = Way()) -> None:
    """Lay out what is asked for, one after the other, until ending is set."""
    with closing(open_shelf(settings.database_url, queue=settings.queue)) as shelf:
        worker = Worker(shelf, ending, way=way)
        _log.info("worker begins", worker=worker.name)
        shelf.rounds(worker.take, ending, lease=way.lease)


def _now() -> datetime:
    return datetime.now(UTC)


class Worker:
    """Lays out one week at a time. Its name is its own among all workers."""

    def __init__(
        self,
        shelf: Shelf,
        ending: Event,
        *,
        way: Way = Way(),
        clock: Callable[[], datetime] = _now,
    ) -> None:
        self.shelf, self.ending, self.way, self.clock = shelf, ending, way, clock
        self.name = f"{socket.gethostname()}-{os.getpid()}-{token_hex(4)}"

    def take(self, number: int | None = None) -> bool:
        """Lay out that one, or whichever is next; False if there is none to be had."""
        with self.shelf.working() as jobs:
            job = claim(jobs, self.name, at=self.clock(), lease=self.way.lease, number=number)
        if job is None:
            return False
        told = _log.bind(lay_out=job.number, week=str(job.week), tries=job.tries)
        told.info("lay-out begins")
        try:
            told.info("lay-out ends", how=self._do(job))
        except Lost:
            told.warning("lay-out was lost to another worker")
        return True

    def _do(self, job: Job) -> str:
        beating = Beating(self.shelf, job, self.ending, lease=self.way.lease, clock=self.clock)
        try:
            with beating:
                finishing = self._worked(job, beating)
        except Lost:
            raise
        except Leaving:
            return self._hand_back(job, beating)
        except (BadInput, BrokenPromise) as error:
            return self._fail(job, str(error))
        except Exception as error:
            _log.exception("lay-out broke off", lay_out=job.number)
            return self._hand_back(job, beating, fault=f"broke off: {type(error).__name__}")
        return finishing()

    def _worked(self, job: Job, beating: Beating) -> Callable[[], str]:
        """The work itself; what it returns keeps it."""
        if job.mend is not None:
            return self._mended(job, job.mend)
        if job.suppose is not None:
            return self._supposed(job, job.suppose, beating)
        if job.season is not None:
            return self._season(job, job.season, beating)
        asked, laid_out = self._laid_out(job, beating)
        return lambda: self._finish(job, asked, laid_out, stopped=beating.stopped)

    def _mended(self, job: Job, mend: Mending) -> Callable[[], str]:
        """Both ways to mend the posted plan, from the moment that was asked for."""
        with self.shelf.reading() as book:
            asked = asked_about(book.jobs, job)
        plan, now = asked.promised.plan, asked.happened.now
        if plan is None or now is None:
            raise BrokenPromise(f"lay-out {job.number} mends no posted plan")
        limits = Limits(seconds=job.seconds, seed=job.seed, workers=self.way.climbers)
        found = re_laid(asked, plan, now, limits=limits, moved_before=mend.moved_before)

        def finishing() -> str:
            with self.shelf.writing() as book:
                finish_mend(book, job, found, told=_in_hand(asked, plan, now), at=self.clock())
            return "done"

        return finishing

    def _supposed(self, job: Job, suppose: Supposing, beating: Beating) -> Callable[[], str]:
        """The week as it is and as supposed, beside each other; from the beginning, if a worker
        was lost over it."""
        with self.shelf.reading() as book:
            asked = asked_about(book.jobs, job)
        changed = supposed_week(asked, suppose.what)
        limits = Limits(seconds=job.seconds, seed=job.seed, workers=self.way.climbers)
        afresh = suppose.what.kind in AFRESH
        found = tried(asked, changed, limits, beating.watch, afresh=afresh)
        stopped = found.stopped or beating.stopped

        def finishing() -> str:
            told = _compared(asked, changed, found)
            with self.shelf.writing() as book:
                finish_supposed(book, job, told, at=self.clock(), stopped=stopped)
            return "stopped" if stopped else "done"

        return finishing

    def _season(self, job: Job, wanted: SupposingSeason, beating: Beating) -> Callable[[], str]:
        """Every posted week with each change, from what was tried before; whatever else is asked
        for goes first."""
        with self.shelf.reading() as book:
            found = records_of(book, first=wanted.first, last=wanted.last, until=job.asked_at)
            known = _trials(book.jobs.best(job.number))
        changes = [BY_KEY[key] for key in wanted.changes]
        tries = Tries(tuple(range(1, wanted.tries + 1)), workers=self.way.climbers)
        pace, before = Pace(found, tries, known), job.spent

        def told(done: int, of: int, trials: tuple[Trial, ...]) -> None:
            spent = before + time.monotonic() - pace.begin
            season = replace(wanted, done=done, of=of, left_s=pace.left_s(trials))
            if beating.tell(SoFar(spent, best=value_to_json(trials), season=season)):
                raise _Stopped
            if self._others_wait():
                raise Leaving

        try:
            tried_out = suppose(found, changes, tries, told=told, known=known)
        except _Stopped:
            return lambda: self._end_season_early(job)
        currency = found.kitchen.currency
        options, says = worded(tried_out, currency), verdict(tried_out, currency)

        def finishing() -> str:
            with self.shelf.writing() as book:
                finish_season(book, job, options, says, at=self.clock())
            return "done"

        return finishing

    def _end_season_early(self, job: Job) -> str:
        with self.shelf.writing() as book:
            end_season_early(book, job, at=self.clock())
        return "stopped"

    def _others_wait(self) -> bool:
        with self.shelf.reading() as book:
            return bool(book.jobs.where(state="asked", season=None, limit=1))

    def _finish(self, job: Job, asked: Asked, laid_out: LaidOut, *, stopped: bool) -> str:
        if laid_out.faults:
            first = laid_out.faults[0]
            return self._fail(job, f"the plan breaks rule {first.rule}: {first.message}")
        stopped = laid_out.stopped or stopped
        with self.shelf.writing() as book:
            finish(book, job, asked, laid_out.plan, at=self.clock(), stopped=stopped)
        return "stopped" if stopped else "done"

    def _laid_out(self, job: Job, beating: Beating) -> tuple[Asked, LaidOut]:
        """From the best that was kept, if any, for the time that is left."""
        with self.shelf.reading() as book:
            asked, best = asked_about(book.jobs, job), book.jobs.best(job.number)
        limits = Limits(
            seconds=max(0.0, job.seconds - job.spent),
            seed=job.seed,
            workers=self.way.climbers,
            start=_draft(best),
        )
        return asked, lay_out(
            asked,
            limits=limits,
            watch=beating.watch,
            explain_seconds=self.way.explain_seconds,
            on_explain=beating.on_explain,
        )

    def _fail(self, job: Job, fault: str) -> str:
        with self.shelf.working() as jobs:
            fail(jobs, job, fault, at=self.clock())
        return "failed"

    def _hand_back(self, job: Job, beating: Beating, *, fault: str = "") -> str:
        with self.shelf.working() as jobs:
            hand_back(jobs, job, beating.so_far(), fault=fault)
        return "handed back"


def _compared(asked: Asked, changed: Asked, found: Tried) -> SupposedFound:
    """Beside the posted plan only where nothing of it has begun: what has asks no longer."""
    posted = None if asked.happened.runs else asked.promised.plan
    return SupposedFound(
        compared=compared((asked, found.without), (changed, found.with_it)),
        posted_g=posted.worth_g if posted else None,
        without_bound_g=found.without_bound_g,
        with_bound_g=found.with_bound_g,
        moved=found.with_it.moved,
    )


class _Stopped(Exception):
    """Somebody has asked to try no further."""


def _trials(best: object) -> tuple[Trial, ...]:
    """Those that were kept; none where older code wrote them in another way."""
    try:
        return () if best is None else value_from_json(tuple[Trial, ...], best, "trials")
    except BadInput:
        return ()


def _in_hand(asked: Asked, plan: Plan, now: datetime) -> Callable[[Plan], Asked]:
    """What a mended plan answers."""
    return lambda mended: in_hand(asked, plan, now, mended.part_lots)


def _draft(best: object) -> Draft | None:
    """The draft that was kept; None where older code wrote it in another way."""
    try:
        return None if best is None else value_from_json(Draft, best, "best")
    except BadInput:
        return None
