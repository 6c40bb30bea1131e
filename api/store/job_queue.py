"""Lay-outs asked for, in one table of the book's own database: claimed under a lease."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from datetime import datetime, timedelta
from threading import Event
from typing import Any, Protocol

from sqlalchemy import (
    Connection,
    CursorResult,
    Engine,
    ForeignKey,
    Index,
    String,
    and_,
    or_,
    select,
    update,
)
from sqlalchemy.orm import Mapped, Session, mapped_column

from api.records.jobs import Job, JobState, Mending, Step, Supposing, SupposingSeason
from api.services.job_ports import Jobs, Take
from api.store.columns import DOCUMENT, Value
from api.store.records import DatabaseRecords
from api.store.tables import Table
from scheduler.domain.clock import Week

PAUSE = 0.5  # seconds until a worker without work looks again


class JobRow(Table):
    """asked and best are loaded by themselves: they are large."""

    __tablename__ = "jobs"
    __table_args__ = (Index(None, "state", "number"), Index(None, "week", "number"))

    number: Mapped[int] = mapped_column(primary_key=True)
    week: Mapped[Week]
    seconds: Mapped[float]
    seed: Mapped[int]
    asked_at: Mapped[datetime]
    asked_by: Mapped[str]
    notes_version: Mapped[int]
    posted: Mapped[int | None]
    state: Mapped[JobState] = mapped_column(String)
    worker: Mapped[str]
    lease_until: Mapped[datetime | None]
    tries: Mapped[int]
    stop_wanted: Mapped[bool]
    spent: Mapped[float]
    worth_g: Mapped[int | None]
    bound_g: Mapped[int | None]
    whiteboard_g: Mapped[int | None]
    plan: Mapped[int | None] = mapped_column(ForeignKey("plans.id"))
    fault: Mapped[str]
    ended_at: Mapped[datetime | None]
    course: Mapped[tuple[Step, ...]] = mapped_column(Value(tuple[Step, ...]))
    mend: Mapped[Mending | None] = mapped_column(Value(Mending))
    suppose: Mapped[Supposing | None] = mapped_column(Value(Supposing))
    season: Mapped[SupposingSeason | None] = mapped_column(Value(SupposingSeason))
    asked: Mapped[Any] = mapped_column(DOCUMENT, deferred=True)
    best: Mapped[Any | None] = mapped_column(DOCUMENT, deferred=True)


# A mend cannot wait; what is only supposed can, and a season takes longest.
FIRST = (
    JobRow.season.is_not(None),
    JobRow.suppose.is_not(None),
    JobRow.mend.is_(None),
    JobRow.number,
)


class DatabaseJobs:
    """The port Jobs over one session; whoever opened the session commits it."""

    def __init__(self, session: Session) -> None:
        self.session = session
        records = DatabaseRecords(session, JobRow, Job)
        self.find, self.where = records.find, records.where

    def add(self, job: Job, asked: Any) -> Job:
        values = {each.name: getattr(job, each.name) for each in fields(Job)}
        del values["number"]  # the database gives it
        row = JobRow(**values, asked=asked, best=None)
        self.session.add(row)
        self.session.flush()
        found = self.find(row.number)
        assert found is not None
        return found

    def claim(
        self, worker: str, *, at: datetime, until: datetime, number: int | None = None
    ) -> Job | None:
        free = or_(
            JobRow.state == "asked", and_(JobRow.state == "claimed", JobRow.lease_until < at)
        )
        wanted = select(JobRow.number).where(free).order_by(*FIRST).limit(1)
        if number is not None:
            wanted = wanted.where(JobRow.number == number)
        found = self.session.scalar(wanted.with_for_update(skip_locked=True))
        if found is None:
            return None
        self._set(
            JobRow.number == found,
            state="claimed",
            worker=worker,
            lease_until=until,
            tries=JobRow.tries + 1,
        )
        return self.find(found)

    def asked(self, number: int) -> Any:
        return self.session.scalar(select(JobRow.asked).where(JobRow.number == number))

    def best(self, number: int) -> Any:
        return self.session.scalar(select(JobRow.best).where(JobRow.number == number))

    def change(self, job: Job, **fields: Any) -> bool:
        as_seen = and_(
            JobRow.number == job.number,
            JobRow.state == job.state,
            JobRow.worker == job.worker,
            JobRow.tries == job.tries,
        )
        return self._set(as_seen, **fields)

    def want_stop(self, number: int) -> None:
        self._set(JobRow.number == number, stop_wanted=True)

    def _set(self, which: Any, **fields: Any) -> bool:
        """One statement, so that it holds whatever others write meanwhile."""
        done = self.session.execute(update(JobRow).where(which).values(**fields))
        assert isinstance(done, CursorResult)
        self.session.expire_all()
        return done.rowcount == 1


class Queue(Protocol):
    """An adapter: its jobs over a session, and how a worker comes to them."""

    @property
    def jobs(self) -> Callable[[Session], Jobs]: ...

    def make_tables(self, connection: Connection) -> None:
        """Those that no migration of the book makes."""
        ...

    def rounds(self, engine: Engine, take: Take, ending: Event, *, lease: timedelta) -> None:
        """The port Rounds over that database."""
        ...


class OwnQueue:
    """Nothing but the table."""

    jobs = DatabaseJobs

    def make_tables(self, connection: Connection) -> None:
        pass

    def rounds(self, engine: Engine, take: Take, ending: Event, *, lease: timedelta) -> None:
        """Look into the table, lay out, look again."""
        while not ending.is_set():
            if not take(None):
                ending.wait(PAUSE)


OWN = OwnQueue()
