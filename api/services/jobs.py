"""Lay-outs as durable work: asked for, claimed, kept alive, stopped, brought to an end."""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime, timedelta
from typing import Any

from api.records.jobs import UNDER_WAY, Job, JobState, Step, SupposingSeason
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.job_ports import Jobs
from api.services.lay_outs import ToLayOut, keep_laid_out, to_lay_out
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.plan import Plan, Proof
from scheduler.errors import CommonrackError
from scheduler.plan_file import asked_from_json, asked_to_json
from scheduler.units import Grams

MOST_STEPS = 120  # of a course: more than a drawing of it can show
SECONDS = 30.0  # to look for better, where nobody says
MOST_TRIES = 5  # workers that may be lost over one lay-out


class Lost(CommonrackError):
    """The lay-out is no longer this worker's: its lease ran out and somebody else has it."""


@dataclass(frozen=True, slots=True)
class SoFar:
    """What a worker has found: the seconds all its tries took, prepared grams, the best draft."""

    spent: float
    worth_g: int | None = None
    bound_g: int | None = None
    whiteboard_g: int | None = None
    best: Any = None  # as a JSON value; None: no better than the one that is kept
    course: tuple[Step, ...] | None = None
    season: SupposingSeason | None = None

    def told(self) -> dict[str, Any]:
        """What it has to tell; all else stays as it is kept."""
        told = {each.name: getattr(self, each.name) for each in fields(self)}
        return {name: value for name, value in told.items() if value is not None}


def gone_on(course: tuple[Step, ...], step: Step) -> tuple[Step, ...]:
    """The course with that step, where it is news; once it is long, every other one is left out."""
    if course and (course[-1].worth_g, course[-1].bound_g) == (step.worth_g, step.bound_g):
        return course
    kept = (*course[:-1:2], course[-1]) if len(course) >= MOST_STEPS else course
    return (*kept, step)


# What people ask.


def ask(
    book: Book,
    doing: Doing,
    week: Week,
    *,
    seconds: float = SECONDS,
    seed: int = 1,
    moving: bool = False,
) -> Job:
    """Ask for a lay-out of the week as it stands; it is asked for when the book is kept.

    moving: turns that the posted plan made firm may be moved. NotNow for a week without notes.
    """
    wanted = to_lay_out(book, doing, week, moving=moving)
    job = Job(
        week=week,
        seconds=seconds,
        seed=seed,
        asked_at=doing.at,
        asked_by=wanted.origin.by,
        notes_version=wanted.origin.notes_version,
        posted=wanted.origin.posted,
    )
    job = book.jobs.add(job, asked_to_json(wanted.asked))
    told = {"lay_out": job.number, "seconds": seconds, "moving": moving}
    keep_deed(book, doing, Act.LAY_OUT, str(week), **told)
    return job


def job_numbered(book: Book, doing: Doing, number: int) -> Job:
    """One lay-out and how far it is."""
    must(doing, Act.LAY_OUT)
    found = book.jobs.find(number)
    if found is None or not found.makes_a_plan:
        raise NoSuchThing(f"there is no lay-out {number}")
    return found


def jobs(
    book: Book, doing: Doing, *, week: Week | None, after: int | None, limit: int
) -> tuple[Job, ...]:
    """Lay-outs in order of asking, of one week or of all; not what is only supposed."""
    must(doing, Act.LAY_OUT)
    of_week = {} if week is None else {"week": week}
    return book.jobs.where(after=after, limit=limit, suppose=None, season=None, **of_week)


def stop(book: Book, doing: Doing, number: int) -> Job:
    """Stop looking and keep the best; asked again, nothing more happens.

    Where no worker has begun it stops at once, without a plan. NotNow where it has ended.
    """
    stop_work(book, doing, job_numbered(book, doing, number), Act.LAY_OUT)
    return job_numbered(book, doing, number)


def stop_work(book: Book, doing: Doing, job: Job, act: Act) -> None:
    """The same of any work; act: under which it is kept."""
    if job.state not in (*UNDER_WAY, "stopped"):
        raise NotNow(f"lay-out {job.number} is {job.state}")
    if job.state in UNDER_WAY and not job.stop_wanted:
        unbegun = job.state == "asked" and job.worth_g is None
        if not (unbegun and book.jobs.change(job, state="stopped", ended_at=doing.at)):
            book.jobs.want_stop(job.number)
        keep_deed(book, doing, act, str(job.week), stopped=job.number)


# What workers do.


def claim(
    jobs: Jobs, worker: str, *, at: datetime, lease: timedelta, number: int | None = None
) -> Job | None:
    """The next lay-out, held until the lease runs out; those that cost too many workers fail."""
    while job := jobs.claim(worker, at=at, until=at + lease, number=number):
        if job.tries <= MOST_TRIES:
            return job
        fail(jobs, job, f"given up: {MOST_TRIES} workers were lost over it", at=at)
    return None


def beat(jobs: Jobs, job: Job, *, until: datetime, so_far: SoFar | None) -> bool:
    """Hold it longer and keep what was found; whether it is to stop. Lost where it is no longer
    this worker's."""
    _change(jobs, job, lease_until=until, **({} if so_far is None else so_far.told()))
    seen = jobs.find(job.number)
    return seen is not None and seen.stop_wanted


def asked_about(jobs: Jobs, job: Job) -> Asked:
    """What the lay-out is of; BadInput if that is no longer to be read."""
    return asked_from_json(jobs.asked(job.number), f"lay-out {job.number}")


def finish(book: Book, job: Job, asked: Asked, plan: Plan, *, at: datetime, stopped: bool) -> int:
    """Keep the plan and end the lay-out, both or neither; the plan's number. Lost as for beat."""
    plan = _with_known_bound(plan, job)
    number = keep_laid_out(book, ToLayOut(asked, job.origin), plan, at=at)
    proved = {} if plan.proof is None else _proved(book.jobs, job, plan.proof)
    _end(book.jobs, job, "stopped" if stopped else "done", at=at, plan=number, best=None, **proved)
    return number


def _proved(jobs: Jobs, job: Job, proof: Proof) -> dict[str, Any]:
    """What was found in the end, and the course up to it."""
    seen = jobs.find(job.number) or job
    step = Step(seen.spent, proof.worth_g, proof.bound_g)
    return asdict(proof) | {"course": gone_on(seen.course, step)}


def _with_known_bound(plan: Plan, job: Job) -> Plan:
    """What a worker that was lost had proved still holds."""
    if plan.proof is None or job.bound_g is None:
        return plan
    bound = max(plan.proof.worth_g, min(plan.proof.bound_g, job.bound_g))
    return replace(plan, proof=replace(plan.proof, bound_g=Grams(bound)))


def fail(jobs: Jobs, job: Job, fault: str, *, at: datetime) -> None:
    """End it without a plan, and say why. Lost as for beat."""
    _end(jobs, job, "failed", at=at, fault=fault)


def hand_back(jobs: Jobs, job: Job, so_far: SoFar | None, *, fault: str = "") -> None:
    """Another may go on from what was found. fault: what cost this try, if it was no mere leaving.

    Lost as for beat.
    """
    tries = job.tries if fault else job.tries - 1
    found = {} if so_far is None else so_far.told()
    _change(
        jobs, job, state="asked", worker="", lease_until=None, tries=tries, fault=fault, **found
    )


def _end(jobs: Jobs, job: Job, state: JobState, *, at: datetime, **fields: Any) -> None:
    _change(jobs, job, state=state, worker="", lease_until=None, ended_at=at, **fields)


def _change(jobs: Jobs, job: Job, **fields: Any) -> None:
    if not jobs.change(job, **fields):
        raise Lost(f"lay-out {job.number} is no longer held by {job.worker}")
