"""The page of one plan beside the whiteboard plan: figures, where each note is, the strips."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from api.records.plans import KeptPlan
from api.services.by_hand import Beside
from api.services.roles import Act, Doing
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.measures import measure, rescued
from scheduler.units import Grams
from web.views.links import Link, week_link
from web.views.page import Page
from web.views.pinned import WishRow, wishes_of
from web.views.reading import Reading
from web.views.strips import Drawing, drawing

ADDRESS = "/plans"
MOST_OTHERS = 5


@dataclass(frozen=True, slots=True)
class BesideRow:
    """A figure, or the place of a note, in this plan and by hand."""

    name: str
    here: str
    by_hand: str


@dataclass(frozen=True, slots=True)
class BesidePage(Page):
    """figures and places: by_hand is "" where there is no whiteboard plan beside it.

    places: the notes that differ; same: how many do not.
    """

    template: ClassVar[str] = "beside.html"
    title: str
    state: str
    laid_out: str
    week: Link
    days: str
    figures: tuple[BesideRow, ...]
    places: tuple[BesideRow, ...]
    same: str
    here: Drawing
    by_hand: Drawing | None
    hatches: tuple[tuple[str, str], ...]
    links: tuple[Link, ...]
    wishes: tuple[WishRow, ...] = ()


def beside_page(found: Beside, reading: Reading, *, doing: Doing) -> BesidePage:
    asked, plan = found.kept.asked, found.kept.plan
    other = found.by_hand
    rows = list(_places(asked, plan, other, reading)) if other else []
    differ = tuple(each for each in rows if each.here != each.by_hand)
    return BesidePage(
        title=reading.say("Plan %(number)s", number=found.kept.number),
        state=found.kept.state,
        laid_out=reading.say(
            "laid out %(at)s", at=reading.moment(found.kept.laid_out_at.replace(second=0))
        ),
        week=week_link(plan.week),
        days=str(plan.week),
        figures=tuple(_figures(asked, plan, other, reading)),
        places=differ,
        same=reading.say_many(
            "%(n)s note is in the same place in both.",
            "%(n)s notes are in the same place in both.",
            len(rows) - len(differ),
        ),
        here=_drawn(asked, plan, reading),
        by_hand=_drawn(asked, other, reading) if other else None,
        hatches=tuple((group.hatch, group.name) for group in asked.kitchen.groups),
        links=(
            *plan_links(found.kept, reading, doing, but=ADDRESS),
            *_other_plans(found, reading),
        ),
        wishes=wishes_of(found.kept, reading),
    )


def plan_links(kept: KeptPlan, reading: Reading, doing: Doing, *, but: str) -> Iterator[Link]:
    """What else may be read or done with a plan. but: where one is already."""
    number, say = kept.number, reading.say
    if kept.state == "pencilled" and doing.reach(Act.POST) == "all":
        yield Link(say("Post it: see first what is sent"), f"{ADDRESS}/{number}/post")
    if but != "/waiting-list":
        yield Link(say("Waiting list"), f"/waiting-list?plan={number}")
    if but != ADDRESS:
        yield Link(say("The plan beside the whiteboard plan"), f"{ADDRESS}/{number}")
    if doing.reach(Act.READ_FEES) == "all":
        yield Link(say("Turns and fees"), f"{ADDRESS}/{number}/fees")
    over = kept.plan.week.days[-1] < reading.local(doing.at).date()
    if doing.reach(Act.LAY_OUT) == "all" and not over:
        yield Link(say("Lay out again"), f"/lay-out?week={kept.plan.week}")
        if doing.reach(Act.SUPPOSE) == "all":
            yield Link(say("Suppose"), f"/suppose?week={kept.plan.week}")
        yield Link(say("Pin or forbid"), f"/pinned/{kept.plan.week}")


def _other_plans(found: Beside, reading: Reading) -> Iterator[Link]:
    """The last few, the newest first."""
    for other in found.others[: -MOST_OTHERS - 1 : -1]:
        text = reading.say("Beside plan %(number)s", number=other)
        yield Link(text, f"{ADDRESS}/{found.kept.number}/beside/{other}")


def _drawn(asked: Asked, plan: Plan, reading: Reading) -> Drawing:
    return drawing(asked, plan, measure(asked, plan), reading)


def _figures(asked: Asked, plan: Plan, other: Plan | None, reading: Reading) -> Iterator[BesideRow]:
    names = (
        reading.say("prepared weight rescued"),
        reading.say("notes whole"),
        reading.say("notes in part"),
        reading.say("notes that wait"),
        reading.say("runs"),
        reading.say("runs that end in cool hold"),
        reading.say("rack-hours loaded"),
    )
    here = _told(asked, plan, reading)
    by_hand = _told(asked, other, reading) if other else [""] * len(names)
    for name, mine, theirs in zip(names, here, by_hand, strict=True):
        yield BesideRow(name, mine, theirs)
    if plan.proof:
        bound = reading.weight(plan.proof.bound_g)
        yield BesideRow(reading.say("no plan can rescue more than"), bound, bound if other else "")


def _told(asked: Asked, plan: Plan, reading: Reading) -> list[str]:
    found, use = rescued(asked, plan), measure(asked, plan).rack_use
    waiting = found.asked_notes - found.placed_notes - found.part_placed_notes
    counts = (found.placed_notes, found.part_placed_notes, waiting, len(plan.runs),
              sum(run.released > run.end for run in plan.runs))  # fmt: skip
    return [
        reading.weight(Grams(found.placed_prepared_g)),
        *map(reading.number, counts),
        f"{reading.number(use.numerator)} ({reading.percent(use.share)})",
    ]


def _places(asked: Asked, plan: Plan, other: Plan, reading: Reading) -> Iterator[BesideRow]:
    for note in asked.open_notes():
        name = f"{note.id} {asked.card(note.card_id).name}, {asked.grower(note.grower_id).farm}"
        yield BesideRow(name, _place(plan, note.id, reading), _place(other, note.id, reading))


def _place(plan: Plan, note_id: str, reading: Reading) -> str:
    """Its runs, and what of it waits."""
    places = [
        f"{run.dryer_id} {reading.moment(run.start)}"
        for run, charge in plan.charges()
        if charge.note_id == note_id
    ]
    rest = next((each for each in plan.waiting if each.note_id == note_id), None)
    if rest is not None:
        weight = reading.weight(rest.field_g)
        places.append(reading.say("waits, %(weight)s", weight=weight))
    return "; ".join(places)
