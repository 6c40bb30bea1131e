"""The page before posting: who moves, every message before it is sent; and what is in the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from api.records.plans import KeptPlan, PlanState
from api.services.posting import OnPurpose, Rehearsed
from scheduler.domain.asked import Asked
from scheduler.domain.turn import Turn
from web.views.beside import ADDRESS
from web.views.desk_note import TURNS
from web.views.form import Field, Form
from web.views.links import Link
from web.views.messages import ADDRESS as OUTBOX
from web.views.page import Page
from web.views.reading import N_, Reading
from web.views.week import Figure

DONE: dict[PlanState, str] = {  # of which there is nothing left to post
    "posted": N_("Plan %(number)s is posted already"),
    "in hand": N_("Plan %(number)s is posted already"),
    "closed": N_("Plan %(number)s is closed"),
}


@dataclass(frozen=True, slots=True)
class Told:
    """One grower: the text that she gets, in English, and what becomes of her turns."""

    grower: str
    text: str
    changes: tuple[str, ...]
    moves: bool


@dataclass(frozen=True, slots=True)
class PostingPage(Page):
    """told: those whose firm turns move or go first. purpose: what is so all the same."""

    template: ClassVar[str] = "posting.html"
    title: str
    figures: tuple[Figure, ...]
    purpose: tuple[str, ...]
    told: tuple[Told, ...]
    form: Form
    back: Link


@dataclass(frozen=True, slots=True)
class NotPostedPage(Page):
    """It cannot be posted as it is. changes: what changed since it was laid out, in English.

    all_the_same: where it may be looked at and posted on purpose.
    """

    template: ClassVar[str] = "not_posted.html"
    title: str
    reason: str
    changes: tuple[str, ...]
    lay_out: Link
    all_the_same: Link | None
    back: Link


@dataclass(frozen=True, slots=True)
class PostedAlreadyPage(Page):
    """There is nothing left to post of it: where to read what was sent, and the plan."""

    template: ClassVar[str] = "posted_already.html"
    title: str
    links: tuple[Link, ...]


def posting_page(found: Rehearsed, purpose: OnPurpose, reading: Reading) -> PostingPage:
    number, asked = found.posted.kept.number, found.posted.kept.asked
    before = {turn.uid: turn for turn in found.before}
    told = sorted(_told(found, before, asked, reading), key=lambda each: not each.moves)
    say = reading.say
    return PostingPage(
        title=say("Post plan %(number)s?", number=number),
        figures=tuple(_figures(found, told, reading)),
        purpose=tuple(_purposes(purpose, reading)),
        told=tuple(told),
        form=post_form(number, purpose, len(told), reading),
        back=Link(say("Leave it pencilled"), f"{ADDRESS}/{number}"),
    )


def post_form(number: int, purpose: OnPurpose, messages: int, reading: Reading) -> Form:
    ticked = {"moving": purpose.moving, "over_caps": purpose.over_caps}
    said = {name: "yes" for name, yes in ticked.items() if yes}
    hidden = tuple(Field(name, "", "hidden") for name in said)
    button = reading.say_many(
        "Post it and write to %(n)s grower", "Post it and write to %(n)s growers", messages
    )
    return Form(f"{ADDRESS}/{number}/post", button, hidden, said, danger=True)


def _purposes(purpose: OnPurpose, reading: Reading) -> Iterator[str]:
    if purpose.moving:
        yield reading.say("Firm turns that could stand are moved, on purpose (rule 18).")
    if purpose.over_caps:
        yield reading.say("More is made firm than the members voted, on purpose (rule 16).")


def _figures(found: Rehearsed, told: list[Told], reading: Reading) -> Iterator[Figure]:
    states, number = list(found.states.values()), reading.number
    waiting = len(found.posted.kept.plan.waiting)
    yield Figure(number(states.count("firm")), reading.say("notes become or stay firm"))
    yield Figure(number(states.count("pencilled")), reading.say("stay pencilled: papers short"))
    yield Figure(number(waiting), reading.say("wait, whole or in part"))
    yield Figure(number(sum(each.moves for each in told)), reading.say("growers must move"))


def _told(
    found: Rehearsed, before: Mapping[str, Turn], asked: Asked, reading: Reading
) -> Iterator[Told]:
    for message in found.posted.messages:
        hers = [turn for turn in found.posted.turns if turn.whose == message.grower_id]
        grower = asked.grower(message.grower_id)
        yield Told(
            grower=f"{grower.name}, {grower.farm}",
            text=message.text,
            changes=tuple(_changes(hers, before, reading)),
            moves=any(_moves(before.get(turn.uid), turn) for turn in hers),
        )


def _moves(was: Turn | None, turn: Turn) -> bool:
    """Whether what was promised is no longer so."""
    return was is not None and was.state == "firm" and (not turn.stands or was.span != turn.span)


def _changes(turns: Iterable[Turn], before: Mapping[str, Turn], reading: Reading) -> Iterator[str]:
    for turn in turns:
        what = f"{turn.subject}, {reading.say(TURNS[turn.kind])}"
        when = reading.span(turn.start, turn.end)
        was = before.get(turn.uid)
        if not turn.stands:
            yield reading.say("%(what)s: no longer %(when)s", what=what, when=when)
        elif was is None or not was.stands:
            state = reading.say(turn.state)
            yield reading.say(
                "%(what)s: new, %(when)s, %(state)s", what=what, when=when, state=state
            )
        elif was.span != turn.span:
            then = reading.span(was.start, was.end)
            yield reading.say("%(what)s: %(when)s instead of %(then)s", what=what, when=when,
                              then=then)  # fmt: skip
        else:
            state = reading.say(turn.state)
            yield reading.say("%(what)s: as before, %(state)s now", what=what, state=state)


def not_posted_page(
    number: int, told: tuple[str, tuple[str, ...]], purpose: OnPurpose | None, reading: Reading,
    *, lay_out: str
) -> NotPostedPage:  # fmt: skip
    """told: the reason and what changed. purpose: with which it would be posted all the same.

    lay_out: the week to lay out again.
    """
    say, where = reading.say, f"{ADDRESS}/{number}"
    ticked = purpose and {"moving": purpose.moving, "over_caps": purpose.over_caps}
    asked = "&".join(f"{name}=yes" for name, yes in (ticked or {}).items() if yes)
    return NotPostedPage(
        title=say("Plan %(number)s cannot be posted as it is", number=number),
        reason=told[0],
        changes=told[1],
        lay_out=Link(say("Lay out again"), f"/lay-out?week={lay_out}"),
        all_the_same=Link(say("See what it would do all the same"), f"{where}/post?{asked}")
        if asked
        else None,
        back=Link(say("Leave it pencilled"), where),
    )


def posted_already_page(kept: KeptPlan, reading: Reading) -> PostedAlreadyPage:
    say = reading.say
    return PostedAlreadyPage(
        title=say(DONE[kept.state], number=kept.number),
        links=(
            Link(say("Outbox"), OUTBOX),
            Link(say("Plan %(number)s", number=kept.number), f"{ADDRESS}/{kept.number}"),
        ),
    )
