"""Mending a posted plan that meets the day: asked for, found by a worker, looked at, posted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from api.records.jobs import UNDER_WAY, Job, MendFound, Mending
from api.services.asking import asked_of
from api.services.at_the_door import posted_plan
from api.services.deeds import keep_deed
from api.services.emergencies import part_lots_of_log
from api.services.errors import NoSuchThing, NotNow
from api.services.jobs import Lost
from api.services.plans import keep
from api.services.ports import Book
from api.services.promises import promised_in
from api.services.roles import Act, Doing, must
from api.services.weeks import week_entry
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.mend import Mend, ReLaid
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan
from scheduler.emergency import with_parts
from scheduler.plan_file import asked_to_json
from scheduler.units import GRID

SECONDS = 8.0  # for both ways together, where nobody says
TO_LOOK = timedelta(minutes=10)  # nothing is moved to within it: so long one looks and posts (demo)


@dataclass(frozen=True, slots=True)
class Mended:
    """A mend and the names of whom it moves. may_post: she may. decided: part-lots in it that a
    named person discarded or let go on."""

    job: Job
    mend: Mending
    names: dict[str, str]
    may_post: bool
    decided: tuple[PartLot, ...] = ()

    @property
    def ways(self) -> tuple[tuple[str, MendFound], ...]:
        """The proposed one first."""
        found = (("small", self.mend.small), ("whole", self.mend.whole))
        there = [(name, each) for name, each in found if each is not None]
        return tuple(sorted(there, key=lambda each: each[0] != self.mend.proposed))


def ask_mend(book: Book, doing: Doing, week: Week, *, seconds: float = SECONDS) -> Job:
    """Ask for both ways to mend that week's posted plan, as things stand; a worker finds them.

    NotNow where none is posted, or a mend of it is under way.
    """
    must(doing, Act.MEND)
    kept = posted_plan(book, week)
    if kept is None:
        raise NotNow(f"no plan of {week} is posted that could be mended")
    if any(each.mend for each in book.jobs.where(week=week, state=UNDER_WAY)):
        raise NotNow(f"a mend of {week} is under way")
    asked = asked_of(book, week, now=doing.at)
    now = _on_grid(doing.at + TO_LOOK)
    promised = replace(promised_in(book, asked, moving=False), plan=kept.plan)
    asked = replace(asked, promised=promised, happened=replace(asked.happened, now=now))
    parts = part_lots_of_log(book, doing, asked, kept.plan, now)
    in_hand = with_parts(kept.plan, parts)
    asked = replace(asked, promised=replace(promised, plan=in_hand))
    entry = week_entry(book, week)
    turns = book.turns.where(week=week)
    moved = {each.whose for each in turns if each.sequence and each.turn.stands}
    job = Job(
        week=week,
        seconds=seconds,
        seed=1,
        asked_at=doing.at,
        asked_by=doing.person.id,
        notes_version=entry.notes_version,
        posted=entry.posted,
        mend=Mending(tuple(sorted(moved))),
    )
    job = book.jobs.add(job, asked_to_json(asked))
    keep_deed(book, doing, Act.MEND, str(week), lay_out=job.number, plan=kept.number)
    return job


def _on_grid(at: datetime) -> datetime:
    late = int(at.timestamp()) % GRID
    return at.replace(microsecond=0) + timedelta(seconds=GRID - late if late else 0)


def mended(book: Book, doing: Doing, number: int) -> Mended:
    """How far it is, and what was found; NoSuchThing for a lay-out that is no mend."""
    must(doing, Act.MEND)
    job = book.jobs.find(number)
    if job is None or job.mend is None:
        raise NoSuchThing(f"there is no mend {number}")
    names = {each.id: each.grower.name for each in book.growers.where()}
    return Mended(job, job.mend, names, doing.reach(Act.POST) == "all", _decided(book, job.mend))


def _decided(book: Book, mend: Mending) -> tuple[PartLot, ...]:
    """Both ways start from the same part-lots."""
    kept = book.plans.find(mend.small.plan) if mend.small else None
    return tuple(each for each in (kept.plan.part_lots if kept else ()) if each.decided)


def mends(book: Book, doing: Doing, week: Week) -> tuple[Job, ...]:
    """Those of a week, in order of asking."""
    must(doing, Act.MEND)
    return tuple(each for each in book.jobs.where(week=week) if each.mend)


def finish_mend(
    book: Book, job: Job, found: ReLaid, *, told: Callable[[Plan], Asked], at: datetime
) -> None:
    """Keep the plans of both ways, pencilled, and end the work; Lost where it is somebody else's.

    told: what a plan answers.
    """
    mend = job.mend or Mending()
    small = _kept(book, job, found.small, told=told, at=at)
    whole = None if found.whole is None else _kept(book, job, found.whole, told=told, at=at)
    proposed = whole if found.proposed == "whole" and whole is not None else small
    done = replace(mend, small=small, whole=whole, proposed=found.proposed, why=found.why)
    fields = {"plan": proposed.plan, "worth_g": proposed.worth_g, "mend": done, "ended_at": at}
    if not book.jobs.change(job, state="done", worker="", lease_until=None, **fields):
        raise Lost(f"lay-out {job.number} is no longer held by {job.worker}")


def _kept(
    book: Book, job: Job, mend: Mend, *, told: Callable[[Plan], Asked], at: datetime
) -> MendFound:
    number = keep(book.plans, told(mend.plan), mend.plan, laid_out_at=at, origin=job.origin)
    return MendFound(number, mend.kept, mend.lost, mend.gained, mend.worth_g, mend.moves)
