"""The pages "Lay out" and of one lay-out: asked for, how far it is as it improves, its end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from api.records.jobs import UNDER_WAY, Job, JobState
from scheduler.domain.clock import Week
from scheduler.units import Grams
from web.views.course import Course, course_of
from web.views.form import Field, Form
from web.views.harvest_notes import days_of
from web.views.links import Link
from web.views.page import Page
from web.views.reading import N_, Reading
from web.views.week import Figure

ADDRESS = "/lay-out"
SECONDS = (15, 60, 300, 1200)  # common practice: a look, a coffee, a break, while one is away
STATES: dict[JobState, str] = {
    "asked": N_("Asked for; it waits for a worker."),
    "claimed": N_("Looking for a better plan."),
    "done": N_("Done."),
    "stopped": N_("Stopped; the best so far is kept."),
    "failed": N_("It came to nothing."),
}
EXPLAINING = N_("Laid out. Now each note that waits is asked what would place it.")
UNBEGUN = N_("Stopped before it began.")
STOPPING = N_("It stops as soon as the best so far is kept.")


@dataclass(frozen=True, slots=True)
class LayOutRow:
    """One lay-out in the list of those before."""

    link: Link
    asked: str
    state: str
    worth: str


@dataclass(frozen=True, slots=True)
class LayOutPage(Page):
    """form: None where no week has a note that asks for a place. over: the week that was wanted,
    where it is over."""

    template: ClassVar[str] = "lay_out.html"
    form: Form | None
    before: tuple[LayOutRow, ...]
    over: str = ""
    pinned: tuple[Link, ...] = ()  # what is pinned, week by week


@dataclass(frozen=True, slots=True)
class ProgressShown(Page):
    """How far one is. course: None before the first plan."""

    template: ClassVar[str] = "progress.html"
    state: str
    told: str
    time: str
    fault: str
    figures: tuple[Figure, ...]
    course: Course | None
    over: bool


@dataclass(frozen=True, slots=True)
class LayingOutPage(Page):
    """One lay-out. stop: while it runs. links: what comes after it."""

    template: ClassVar[str] = "laying_out.html"
    title: str
    detail: str
    look: str
    progress: ProgressShown
    stop: Form | None
    links: tuple[Link, ...]


def lay_out_form(weeks: Sequence[Week], said: dict[str, str], reading: Reading) -> Form:
    """weeks: those that may be laid out."""
    say = reading.say
    lengths = tuple((str(each), _length(each, reading)) for each in SECONDS)
    weeks_said = tuple((str(each), f"{days_of(each, reading)} ({each})") for each in weeks)
    fields = (
        Field("week", say("Which week?"), "few", options=weeks_said),
        Field("seconds", say("How long may it look for better?"), "few", options=lengths,
              hint=say("The first plan is there within a second or two; it may be stopped at any"
                       " time, and the best is kept.")),
        Field("moving", say("Turns that are firm may be moved"), "yes", folded=True,
              hint=say("As if nothing were posted. Posting such a plan has to be said twice.")),
        Field("seed", say("Seed of chance"), "whole", folded=True,
              hint=say("The same seed looks in the same order. It matters only to compare.")),
    )  # fmt: skip
    first = str(weeks[0]) if weeks else ""
    defaults = {"week": first, "seconds": "60", "seed": "1"}
    return Form(ADDRESS, say("Lay out"), fields, defaults | said)


def _length(seconds: int, reading: Reading) -> str:
    if seconds < 60:  # noqa: PLR2004 a minute
        return reading.say("%(n)s seconds", n=seconds)
    return reading.say_many("%(n)s minute", "%(n)s minutes", seconds // 60)


def lay_out_page(
    form: Form | None, before: Iterable[Job], reading: Reading, *, over: str = ""
) -> LayOutPage:
    """before: in order of asking; the last comes first."""
    rows = (
        LayOutRow(
            link=Link(_title(job, reading), f"{ADDRESS}/{job.number}"),
            asked=reading.moment(job.asked_at.replace(second=0)),
            state=_state(job, reading),
            worth="" if job.worth_g is None else reading.weight(Grams(job.worth_g)),
        )
        for job in reversed(list(before))
    )
    return LayOutPage(form, tuple(rows), over, tuple(_pinned(form, reading)))


def _pinned(form: Form | None, reading: Reading) -> Iterator[Link]:
    """To the page of what is pinned in each of the weeks."""
    weeks = form.fields[0].options if form else ()
    for week, _ in weeks:
        text = reading.say("Pinned and forbidden in %(week)s", week=week)
        yield Link(text, f"/pinned/{week}")


def _title(job: Job, reading: Reading) -> str:
    return reading.say("Lay-out %(number)s of %(week)s", number=job.number, week=str(job.week))


def _state(job: Job, reading: Reading) -> str:
    if job.state in UNDER_WAY and job.stop_wanted:
        return reading.say(STOPPING)
    if job.state == "stopped" and job.plan is None:
        return reading.say(UNBEGUN)
    return reading.say(STATES[job.state])


def progress_shown(job: Job, reading: Reading) -> ProgressShown:
    over = job.state not in UNDER_WAY
    left = max(0, round(job.seconds - job.spent))
    looking = job.state == "claimed" and not job.stop_wanted
    time = ""
    if looking and left:
        time = seconds_left(left, reading)
    elif job.state == "asked":
        time = reading.say("Where none is running: commonrack worker.")
    return ProgressShown(
        state=reading.say(EXPLAINING) if looking and not left else _state(job, reading),
        told=_told(job, reading),
        time=time,
        fault=job.fault if job.state == "failed" else "",
        figures=tuple(_figures(job, reading)),
        course=course_of(job, reading),
        over=over,
    )


def seconds_left(left: int, reading: Reading) -> str:
    return reading.say_many("%(n)s second left to look", "%(n)s seconds left to look", left)


def _told(job: Job, reading: Reading) -> str:
    """One sentence, told anew only when it improves."""
    if job.worth_g is None or job.bound_g is None:
        return ""
    return reading.say(
        "%(worth)s has a place; no plan whatever has one for more than %(bound)s.",
        worth=reading.weight(Grams(job.worth_g)),
        bound=reading.weight(Grams(job.bound_g)),
    )


def _figures(job: Job, reading: Reading) -> Iterable[Figure]:
    if job.worth_g is None or job.bound_g is None or job.whiteboard_g is None:
        return
    say, gap = reading.say, reading.percent(job.gap or 0.0)
    ahead = job.worth_g - job.whiteboard_g
    sign = "+" if ahead >= 0 else "−"  # noqa: RUF001 a minus sign, to be read
    yield Figure(reading.weight(Grams(job.worth_g)), say("prepared weight has a place"))
    left = Grams(job.bound_g - job.worth_g)
    yield Figure(reading.weight(left), say("at most left to win: %(gap)s of the bound", gap=gap))
    words = say("against the whiteboard plan")
    yield Figure(f"{sign} {reading.weight(Grams(abs(ahead)))}", words)


def laying_out_page(job: Job, reading: Reading, *, by: str) -> LayingOutPage:
    """by: the name of who asked for it."""
    say, where = reading.say, f"{ADDRESS}/{job.number}"
    progress = progress_shown(job, reading)
    running = not progress.over and not job.stop_wanted
    return LayingOutPage(
        title=_title(job, reading),
        detail=say(
            "Asked for by %(by)s on %(at)s, to look for %(seconds)s seconds.",
            by=by,
            at=reading.moment(job.asked_at.replace(second=0)),
            seconds=reading.number(job.seconds),
        ),
        look=f"{where}/progress",
        progress=progress,
        stop=Form(f"{where}/stop", say("Stop and keep the best")) if running else None,
        links=tuple(_links(job, reading)),
    )


def _links(job: Job, reading: Reading) -> Iterable[Link]:
    if job.plan is not None:
        yield Link(reading.say("The plan beside the whiteboard plan"), f"/plans/{job.plan}")
        yield Link(reading.say("Waiting list"), f"/waiting-list?plan={job.plan}")
    if job.state not in UNDER_WAY:
        yield Link(reading.say("Lay out again"), f"{ADDRESS}?week={job.week}")
