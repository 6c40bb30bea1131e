"""Suppose for the board: what a season would come to with a dryer more, an evening shift, another
order; asked for by years, tried by a worker, shown in the board paper."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import datetime

from api.records.jobs import UNDER_WAY, Job, SupposingSeason
from api.services.board import posted_weeks
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.jobs import Lost, stop_work
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault, NoSuchPlan
from scheduler.replay.changes import BY_KEY
from scheduler.season.paper import Option

MOST_TRIES = 5  # each takes as long as the first
TRIES = 2  # the least that says how far apart they lie


def ask_season(
    book: Book, doing: Doing, year: int, changes: tuple[str, ...], *, tries: int = TRIES
) -> Job:
    """Try those changes (by key) on each posted week of the year, so often.

    BadInput without a change, or for one that is none; NoSuchPlan where no week is posted; NotNow
    while the same year is being tried.
    """
    must(doing, Act.SUPPOSE_SEASON)
    faults = tuple(_faults(changes))
    if faults:
        raise BadInput(faults)
    weeks = [each for each in posted_weeks(book, doing) if each.year == year]
    if not weeks:
        raise NoSuchPlan(f"no week of {year} has been posted")
    if any(each.state in UNDER_WAY for each in _of_year(book, year)):
        raise NotNow(f"{year} is being tried")
    job = Job(
        week=weeks[0],
        seconds=0,
        seed=1,
        asked_at=doing.at,
        asked_by=doing.person.id,
        notes_version=0,
        posted=None,
        season=SupposingSeason(
            Week(year, 1), Week(year, 53), changes, tries, of=len(weeks) * tries
        ),
    )
    job = book.jobs.add(job, [])  # a worker reads the weeks from the book
    told = {"lay_out": job.number, "changes": list(changes), "tries": tries}
    keep_deed(book, doing, Act.SUPPOSE_SEASON, str(year), **told)
    return job


def _faults(changes: tuple[str, ...]) -> list[InputFault]:
    unknown = [each for each in changes if each not in BY_KEY]
    told = [f"there is nothing called {each} to try" for each in unknown]
    told += [f"{each} is named {n} times" for each, n in Counter(changes).items() if n > 1]
    if not changes:
        told = ["choose at least one to try"]
    return [InputFault("suppose", None, "changes", each) for each in told]


def season_supposed(book: Book, doing: Doing, number: int) -> tuple[Job, SupposingSeason]:
    """How far it is, and what it comes to; NoSuchThing for work that is none of a season."""
    must(doing, Act.SUPPOSE_SEASON)
    job = book.jobs.find(number)
    if job is None or job.season is None:
        raise NoSuchThing(f"nothing is supposed of a season under {number}")
    return job, job.season


def seasons_supposed(book: Book, doing: Doing, year: int) -> tuple[Job, ...]:
    """What was supposed of that year, in order of asking."""
    must(doing, Act.SUPPOSE_SEASON)
    return _of_year(book, year)


def in_the_paper(book: Book, doing: Doing, year: int) -> Job | None:
    """What was supposed last of that year and has been tried to its end, for its board paper."""
    must(doing, Act.READ_BOARD)
    done = [each for each in _of_year(book, year) if each.state == "done"]
    return done[-1] if done else None


def _of_year(book: Book, year: int) -> tuple[Job, ...]:
    found = book.jobs.where(suppose=None, mend=None)
    return tuple(each for each in found if each.season and each.season.first.year == year)


def stop_season(book: Book, doing: Doing, number: int) -> None:
    """Try no further; nothing of it is kept, for a part of the weeks is no season."""
    job, _ = season_supposed(book, doing, number)
    stop_work(book, doing, job, Act.SUPPOSE_SEASON)


def finish_season(
    book: Book, job: Job, options: tuple[Option, ...], verdict: str, *, at: datetime
) -> None:
    """Keep what it comes to and end the work; Lost where it is somebody else's."""
    seen = book.jobs.find(job.number) or job
    assert seen.season is not None
    done = replace(seen.season, options=options, verdict=verdict, done=seen.season.of)
    _end(book, job, "done", at=at, season=done)


def end_season_early(book: Book, job: Job, *, at: datetime) -> None:
    _end(book, job, "stopped", at=at)


def _end(book: Book, job: Job, state: str, *, at: datetime, **fields: object) -> None:
    done = {"state": state, "worker": "", "lease_until": None, "best": None, "ended_at": at}
    if not book.jobs.change(job, **done, **fields):
        raise Lost(f"lay-out {job.number} is no longer held by {job.worker}")
