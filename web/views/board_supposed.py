"""The pages on which the board supposes something of a season: what to try, how far it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from api.records.jobs import UNDER_WAY, Job, JobState, SupposingSeason
from api.services.board_suppositions import TRIES
from scheduler.replay.changes import BY_KEY
from scheduler.season.paper import Option
from scheduler.units import MINUTE, Seconds
from web.views.board_paper import season_address
from web.views.form import Field, Form
from web.views.lay_out import ProgressShown
from web.views.links import Link
from web.views.page import Page
from web.views.reading import N_, Reading
from web.views.supposed import SupposedRow
from web.views.supposing import KINDS, SAYS

ADDRESS = "/board/suppose"
OFTEN = (1, 2, 3)
WHEN_FULL = "evening when full"
NAMES = {str(kind): name for kind, name in KINDS.items()} | {
    WHEN_FULL: N_("Evening shift when full")
}
HINTS = {str(kind): said for kind, said in SAYS.items()} | {
    WHEN_FULL: N_("The same, in weeks alone in which something had no place.")
}
STATES: dict[JobState, str] = {
    "asked": N_("Asked for; it waits for a worker, behind all else that is asked for."),
    "claimed": N_("Laying out every week again, as it was and with each change."),
    "done": N_("Done: it stands in the board paper."),
    "stopped": N_("Stopped; nothing of it is kept, for a part of the weeks is no season."),
    "failed": N_("It came to nothing."),
}


@dataclass(frozen=True, slots=True)
class BoardSupposePage(Page):
    template: ClassVar[str] = "board_suppose.html"
    year: str
    paper: Link
    form: Form
    before: tuple[SupposedRow, ...]


@dataclass(frozen=True, slots=True)
class SeasonSupposedPage(Page):
    """options and verdict: as the planner wrote them, once it is done."""

    template: ClassVar[str] = "board_supposed.html"
    title: str
    detail: str
    look: str
    progress: ProgressShown
    stop: Form | None
    verdict: str
    options: tuple[Option, ...]
    paper: Link


def season_form(year: int, reading: Reading, said: dict[str, str]) -> Form:
    """said: what stands in it already."""
    say = reading.say
    changes = (
        Field(field_of(each), say(NAMES[each]), "yes", hint=say(HINTS[each])) for each in BY_KEY
    )
    often = tuple((str(n), reading.say_many("%(n)s time", "%(n)s times", n)) for n in OFTEN)
    fields = (
        *changes,
        Field("tries", say("How often is each week tried?"), "few", options=often,
              hint=say("From twice on it is told how far the tries lie apart. Each takes as long as"
                       " the first.")),
    )  # fmt: skip
    action = f"{season_address(year)}/suppose"
    return Form(action, say("Try it"), fields, {"tries": str(TRIES)} | said)


def field_of(key: str) -> str:
    return key.replace(" ", "-")


def board_suppose_page(
    year: int, form: Form, before: Iterable[Job], reading: Reading
) -> BoardSupposePage:
    return BoardSupposePage(
        year=str(year),
        paper=_paper(year, reading),
        form=form,
        before=tuple(_row(each, reading) for each in reversed(list(before))),
    )


def _paper(year: int, reading: Reading) -> Link:
    return Link(reading.say("Board paper of %(year)s", year=year), season_address(year))


def _row(job: Job, reading: Reading) -> SupposedRow:
    assert job.season is not None
    at = reading.moment(job.asked_at.replace(second=0))
    text = f"{job.number}: {_changes(job.season, reading)}"
    told = f"{at}. {reading.say(STATES[job.state])}"
    return SupposedRow(Link(text, f"{ADDRESS}/{job.number}"), told)


def _changes(season: SupposingSeason, reading: Reading) -> str:
    return reading.listed([reading.say(NAMES[key]) for key in season.changes])


def season_supposed_page(
    job: Job, season: SupposingSeason, reading: Reading, *, by: str
) -> SeasonSupposedPage:
    """by: the name of who asked for it."""
    say, where, year = reading.say, f"{ADDRESS}/{job.number}", season.first.year
    progress = season_progress(job, season, reading)
    running = not progress.over and not job.stop_wanted
    return SeasonSupposedPage(
        title=say("Suppose of %(year)s: %(what)s", year=year, what=_changes(season, reading)),
        detail=say("Asked for by %(by)s on %(at)s.", by=by,
                   at=reading.moment(job.asked_at.replace(second=0))),
        look=f"{where}/progress",
        progress=progress,
        stop=Form(f"{where}/stop", say("Stop")) if running else None,
        verdict=season.verdict,
        options=season.options,
        paper=_paper(year, reading),
    )  # fmt: skip


def season_progress(job: Job, season: SupposingSeason, reading: Reading) -> ProgressShown:
    say, number = reading.say, reading.number
    stopping = job.state in UNDER_WAY and job.stop_wanted
    state = say("It stops when the week in hand is tried.") if stopping else ""
    time = ""
    if job.state in UNDER_WAY:
        time = say("%(done)s of %(of)s tries of a week are done.",
                   done=number(season.done), of=number(season.of))  # fmt: skip
    if job.state == "claimed" and not stopping and season.left_s is not None:
        time += " " + _left(season.left_s, reading)
    return ProgressShown(
        state=state or say(STATES[job.state]),
        told="",
        time=time,
        fault=job.fault if job.state == "failed" else "",
        figures=(),
        course=None,
        over=job.state not in UNDER_WAY,
    )


def _left(seconds: Seconds, reading: Reading) -> str:
    minutes = round(seconds / MINUTE)
    if not minutes:
        return reading.say("Less than a minute is left.")
    return reading.say_many("About %(n)s minute is left.", "About %(n)s minutes are left.", minutes)


def tried_at(job: Job, weeks: int, reading: Reading) -> str:
    """When what stands in the paper was tried, and of how many of the weeks that it has by now."""
    assert job.season is not None
    tried = job.season.of // job.season.tries
    told = reading.say_many(
        "Tried on %(at)s on the %(n)s week posted by then.",
        "Tried on %(at)s on the %(n)s weeks posted by then.",
        tried,
        at=reading.dated(reading.local(job.asked_at).date()),
    )
    if tried != weeks:
        told += " " + reading.say_many(
            "The paper has %(n)s week by now: try again.",
            "The paper has %(n)s weeks by now: try again.",
            weeks,
        )
    return told
