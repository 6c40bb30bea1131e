"""The pages "Suppose": what may be supposed, how far it is, what it comes to for whom."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil
from typing import ClassVar

from api.records.jobs import UNDER_WAY, Job, JobState, SupposedFound
from api.services.suppositions import SupposedWeek
from scheduler.comparing import GrowerChange, by_grower
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.rules import TITLES
from scheduler.replay.supposed_week import AFRESH
from scheduler.units import Grams
from web.views.comparing import (
    ChangeRow,
    FigureRow,
    change_rows,
    figure_rows,
    note_named,
    said_same,
)
from web.views.form import Form
from web.views.lay_out import ProgressShown, seconds_left
from web.views.links import Link, week_link
from web.views.page import Page
from web.views.reading import N_, Reading
from web.views.supposing import ADDRESS, CAUTIONS, KINDS, SAYS, Chosen, chosen_of, named

STATES: dict[JobState, str] = {
    "asked": N_("Asked for; it waits for a worker."),
    "claimed": N_("Looking at the week as it is, then as supposed."),
    "done": N_("Done."),
    "stopped": N_("Stopped; what was found so far is compared."),
    "failed": N_("It came to nothing."),
}


@dataclass(frozen=True, slots=True)
class SupposedRow:
    link: Link
    told: str


@dataclass(frozen=True, slots=True)
class SupposePage(Page):
    """choices: what may be supposed; form: of the one that is chosen. caution: "" without one."""

    template: ClassVar[str] = "suppose.html"
    title: str
    week: Link
    weeks: tuple[Link, ...]
    says: str
    caution: str
    choices: tuple[Chosen, ...]
    form: Form | None
    before: tuple[SupposedRow, ...]


@dataclass(frozen=True, slots=True)
class GrowerRow:
    """loses: less of hers has a place than before."""

    name: str
    before: str
    after: str
    notes: str
    loses: bool


@dataclass(frozen=True, slots=True)
class MovedRow:
    name: str
    rule: str
    reason: str


@dataclass(frozen=True, slots=True)
class ResultShown:
    told: str
    sure: tuple[str, ...]
    figures: tuple[FigureRow, ...]
    growers: tuple[GrowerRow, ...]
    changes: tuple[ChangeRow, ...]
    same: str
    moved: tuple[MovedRow, ...]


@dataclass(frozen=True, slots=True)
class SupposedPage(Page):
    """result: None while it is looked at. stop: while it runs."""

    template: ClassVar[str] = "supposed.html"
    title: str
    week: Link
    detail: str
    caution: str
    look: str
    progress: ProgressShown
    stop: Form | None
    result: ResultShown | None
    again: Link


def suppose_page(
    week: Week, before: Iterable[Job], weeks: Iterable[Week], reading: Reading
) -> SupposePage:
    """weeks: of which anything may be supposed."""
    return SupposePage(
        title=reading.say("Suppose"),
        week=week_link(week),
        weeks=tuple(Link(str(e), f"{ADDRESS}?week={e}", e == week) for e in weeks),
        says=reading.say(
            "What would the week come to if one thing were otherwise? It is tried beside the plan,"
            " which stays as it is. Nobody is told anything, and nothing of it can be posted."
        ),
        caution="",
        choices=tuple(chosen_of(week, reading)),
        form=None,
        before=tuple(_row(each, reading) for each in reversed(list(before))),
    )


def chosen_page(week: Week, form: Form, reading: Reading) -> SupposePage:
    """One that is chosen, and its form."""
    kind = next(each for each in KINDS if each == form.said["what"])
    caution = CAUTIONS.get(kind)
    return SupposePage(
        title=reading.say(KINDS[kind]),
        week=week_link(week),
        weeks=(),
        says=reading.say(SAYS[kind]),
        caution=reading.say(caution) if caution else "",
        choices=(),
        form=form,
        before=(),
    )


def _row(job: Job, reading: Reading) -> SupposedRow:
    assert job.suppose is not None
    text = f"{job.number}: {reading.say(KINDS[job.suppose.what.kind])}"
    found = job.suppose.found
    told = _told(found, reading) if found else reading.say(_state(job))
    return SupposedRow(Link(text, f"{ADDRESS}/{job.number}"), told)


def _state(job: Job) -> str:
    """In words to be said."""
    if job.state == "stopped" and (job.suppose is None or job.suppose.found is None):
        return N_("Stopped before anything was found.")
    return STATES[job.state]


def supposed_page(found: SupposedWeek, reading: Reading) -> SupposedPage:
    say, job, where = reading.say, found.job, f"{ADDRESS}/{found.job.number}"
    progress = supposed_progress(found, reading)
    running = not progress.over and not job.stop_wanted
    caution = CAUTIONS.get(found.supposing.what.kind)
    result = found.supposing.found
    return SupposedPage(
        title=named(found.supposing, found.asked, reading),
        week=week_link(job.week),
        detail=" ".join(_detail(found, reading)),
        caution=say(caution) if caution else "",
        look=f"{where}/progress",
        progress=progress,
        stop=Form(f"{where}/stop", say("Stop and compare")) if running else None,
        result=_result(result, found, reading) if result else None,
        again=Link(say("Suppose something else"), f"{ADDRESS}?week={job.week}"),
    )


def _detail(found: SupposedWeek, reading: Reading) -> Iterator[str]:
    say, supposing = reading.say, found.supposing
    yield say(SAYS[supposing.what.kind])
    if supposing.moving:
        yield say("Firm turns may be moved, in both weeks alike.")
    if found.cost:
        kitchen = found.asked.kitchen
        yield say(
            "For this week it would cost about %(cost)s (source of prices: %(source)s).",
            cost=reading.money(found.cost, kitchen.currency),
            source=kitchen.costs.source,
        )


def supposed_progress(found: SupposedWeek, reading: Reading) -> ProgressShown:
    """How far it is; what was found stands there only once both weeks can be compared."""
    job, say = found.job, reading.say
    looking = job.state == "claimed" and not job.stop_wanted
    left = max(0, round(job.seconds - job.spent))
    time = seconds_left(left, reading) if looking and left else ""
    if job.state == "asked":
        time = say("Where none is running: commonrack worker.")
    stopping = job.state in UNDER_WAY and job.stop_wanted
    return ProgressShown(
        state=say("It stops when both are compared.") if stopping else say(_state(job)),
        told="",
        time=time,
        fault=job.fault if job.state == "failed" else "",
        figures=(),
        course=None,
        over=job.state not in UNDER_WAY,
    )


def _result(result: SupposedFound, found: SupposedWeek, reading: Reading) -> ResultShown:
    asked, both = found.asked, result.compared
    return ResultShown(
        told=_told(result, reading),
        sure=tuple(_sure(result, found.job, reading)),
        figures=tuple(figure_rows(both, asked.kitchen.currency, reading)),
        growers=tuple(_grower(each, asked, reading) for each in by_grower(asked, both)),
        changes=tuple(change_rows(both, (asked,), reading)),
        same=said_same(both, reading),
        moved=tuple(
            MovedRow(
                note_named((asked,), each.note_id),
                f"{reading.say(TITLES[each.rule])} ({each.rule})",
                each.reason,
            )
            for each in result.moved
        ),
    )


def _told(result: SupposedFound, reading: Reading) -> str:
    """One sentence: more, as much, or less."""
    say, both = reading.say, result.compared
    more = both.after.worth_g - both.before.worth_g
    if not more:
        return say("As much has a place as without it: %(weight)s prepared.",
                   weight=reading.weight(both.before.worth_g))  # fmt: skip
    weights = {
        "more": reading.weight(Grams(abs(more))),
        "weight": reading.weight(both.before.worth_g),
    }
    if more > 0:
        return say("%(more)s more prepared weight has a place, beside %(weight)s.", **weights)
    return say("%(more)s less prepared weight has a place, of %(weight)s.", **weights)


def _sure(result: SupposedFound, job: Job, reading: Reading) -> Iterator[str]:
    """What the figures rest on, so that nobody takes them for more."""
    say, weight = reading.say, reading.weight
    if job.suppose is not None and job.suppose.what.kind in AFRESH:
        yield reading.say_many(
            "Each week was laid out from an empty plan for at most %(n)s second, by itself: a"
            " little more or less may be chance alone. A longer look may find more in either.",
            "Each week was laid out from an empty plan for at most %(n)s seconds, by itself: a"
            " little more or less may be chance alone. A longer look may find more in either.",
            ceil(job.seconds / 2),
        )
    else:
        yield reading.say_many(
            "Both weeks were looked at for at most %(n)s second from the same start; what fits in"
            " one counts in the other, too. A longer look may find more in either.",
            "Both weeks were looked at for at most %(n)s seconds from the same start; what fits in"
            " one counts in the other, too. A longer look may find more in either.",
            ceil(job.seconds / 3),
        )
    yield say(
        "No plan whatever of the week as it is has a place for more than %(own)s; as supposed,"
        " none for more than %(other)s.",
        own=weight(result.without_bound_g),
        other=weight(result.with_bound_g),
    )
    if result.posted_g is not None:
        yield say("The posted plan has a place for %(weight)s and stands as it is.",
                  weight=weight(result.posted_g))  # fmt: skip


def _grower(each: GrowerChange, asked: Asked, reading: Reading) -> GrowerRow:
    grower = asked.grower(each.grower_id)
    return GrowerRow(
        name=f"{grower.id} {grower.farm}",
        before=reading.weight(each.before_g),
        after=reading.weight(each.after_g),
        notes=", ".join((*each.loses, *each.gains)),
        loses=each.after_g < each.before_g,
    )
