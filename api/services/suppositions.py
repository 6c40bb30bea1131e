"""Suppose: a week tried otherwise beside its posted plan, as durable work. No plan comes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from api.records.jobs import Job, SupposedFound, Supposing
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing
from api.services.jobs import SECONDS, Lost, asked_about, stop_work
from api.services.lay_outs import as_it_is_asked
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.promised import Promised
from scheduler.domain.supposition import Supposition
from scheduler.plan_file import asked_to_json, value_to_json
from scheduler.replay.changes import BY_KEY
from scheduler.replay.supposed_week import AFRESH, supposed_week


@dataclass(frozen=True, slots=True)
class SupposedWeek:
    """asked: the week as it is. cost: of the change for this week, in minor units; None where
    nobody has a price of it."""

    job: Job
    supposing: Supposing
    asked: Asked
    cost: int | None


def ask_suppose(
    book: Book,
    doing: Doing,
    week: Week,
    what: Supposition,
    *,
    seconds: float = SECONDS,
    moving: bool = False,
) -> Job:
    """Ask what the week would come to, beside the posted plan, which stays as it is.

    moving: firm turns may be moved in both weeks; what asks for another order of calling has the
    whole week laid out from nothing. BadInput where it is not about that week; NotNow as for a
    lay-out.
    """
    must(doing, Act.SUPPOSE)
    wanted = as_it_is_asked(book, doing, week, moving=moving)
    asked = wanted.asked
    if what.kind in AFRESH:
        asked = replace(asked, promised=Promised(taken=asked.promised.taken))
    supposed_week(asked, what)
    job = Job(
        week=week,
        seconds=seconds,
        seed=1,
        asked_at=doing.at,
        asked_by=doing.person.id,
        notes_version=wanted.origin.notes_version,
        posted=wanted.origin.posted,
        suppose=Supposing(what, moving or what.kind in AFRESH),
    )
    job = book.jobs.add(job, asked_to_json(asked))
    told: dict[str, Any] = {"suppose": value_to_json(what), "moving": moving}
    keep_deed(book, doing, Act.SUPPOSE, str(week), lay_out=job.number, **told)
    return job


def supposed(book: Book, doing: Doing, number: int) -> SupposedWeek:
    """How far it is, and what it comes to; NoSuchThing for work that supposes nothing of a week."""
    must(doing, Act.SUPPOSE)
    job = book.jobs.find(number)
    if job is None or job.suppose is None:
        raise NoSuchThing(f"nothing is supposed under {number}")
    asked = asked_about(book.jobs, job)
    change = BY_KEY.get(job.suppose.what.kind)
    return SupposedWeek(job, job.suppose, asked, change.cost((asked,)) if change else None)


def supposed_of(book: Book, doing: Doing, week: Week) -> tuple[Job, ...]:
    """What was supposed of a week, in order of asking."""
    must(doing, Act.SUPPOSE)
    return tuple(each for each in book.jobs.where(week=week, season=None) if each.suppose)


def stop_supposing(book: Book, doing: Doing, number: int) -> None:
    """Compare what was found so far. NotNow where it has ended otherwise."""
    stop_work(book, doing, supposed(book, doing, number).job, Act.SUPPOSE)


def finish_supposed(
    book: Book, job: Job, found: SupposedFound, *, at: datetime, stopped: bool
) -> None:
    """Keep what it comes to and end the work; Lost where it is somebody else's."""
    assert job.suppose is not None
    done = replace(job.suppose, found=found)
    state = "stopped" if stopped else "done"
    fields = {"suppose": done, "worth_g": found.compared.after.worth_g, "ended_at": at}
    if not book.jobs.change(job, state=state, worker="", lease_until=None, best=None, **fields):
        raise Lost(f"lay-out {job.number} is no longer held by {job.worker}")
