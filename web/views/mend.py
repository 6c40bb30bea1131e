"""The pages "Re-lay": asking for a mend of a posted plan, and both ways with who moves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from api.records.jobs import UNDER_WAY, Job, MendFound
from api.services.mends import Mended
from scheduler.domain.clock import Span, Week
from scheduler.domain.mend import TurnMove
from scheduler.domain.rules import TITLES
from scheduler.units import HOUR, Grams
from web.views.desk_note import TURNS
from web.views.form import Field, Form
from web.views.links import Link, week_link
from web.views.page import Page
from web.views.part_lot import decision
from web.views.reading import N_, Reading

ADDRESS = "/re-lay"
SHORT_S = 12 * HOUR  # since the evening before: common practice
NAMES = {
    "small": N_("A small change: what cannot stay alone is moved"),
    "whole": N_("The later week anew"),
}


@dataclass(frozen=True, slots=True)
class MoveShown:
    """who moves from when to when, and why; reason: in English. short: little notice is left."""

    who: str
    what: str
    was: str
    now: str
    why: str
    reason: str
    short: bool


@dataclass(frozen=True, slots=True)
class WayToMend:
    name: str
    proposed: str
    facts: tuple[str, ...]
    moves: tuple[MoveShown, ...]
    post: Link | None


@dataclass(frozen=True, slots=True)
class MendPage(Page):
    """told: how far it is. over: there is no more to wait for. decided: what on which part-lots, by
    whom and when."""

    template: ClassVar[str] = "mend.html"
    week: Link
    told: str
    over: bool
    why: str
    decided: tuple[str, ...]
    ways: tuple[WayToMend, ...]


@dataclass(frozen=True, slots=True)
class AskMendPage(Page):
    template: ClassVar[str] = "ask_mend.html"
    week: Link
    form: Form
    before: tuple[Link, ...]


def ask_mend_page(week: Week, form: Form, before: tuple[Job, ...], reading: Reading) -> AskMendPage:
    links = tuple(
        Link(reading.moment(each.asked_at.replace(second=0)), f"{ADDRESS}/{each.number}")
        for each in reversed(before)
    )
    return AskMendPage(week_link(week), form, links)


def ask_form(week: Week, reading: Reading) -> Form:
    field = (Field("week", "", "hidden"),)
    return Form(ADDRESS, reading.say("Look for both ways"), field, {"week": str(week)})


def mend_page(found: Mended, reading: Reading) -> MendPage:
    job, mend = found.job, found.mend
    return MendPage(
        week=week_link(job.week),
        told=_told(job, reading),
        over=job.state not in UNDER_WAY,
        why=mend.why,
        decided=tuple(decision(each, reading) for each in found.decided),
        ways=tuple(_way(name, each, found, reading) for name, each in found.ways),
    )


def _told(job: Job, reading: Reading) -> str:
    if job.state in UNDER_WAY:
        return reading.say("A worker looks for both ways. It takes some ten seconds.")
    if job.state == "done":
        return reading.say("Nothing is posted yet. Look who moves, then post one of them.")
    return reading.say("It came to nothing: %(fault)s", fault=job.fault)


def _way(name: str, way: MendFound, found: Mended, reading: Reading) -> WayToMend:
    say = reading.say
    post = Link(say("Look at every message, then post"), f"/plans/{way.plan}/post?moving=yes")
    return WayToMend(
        name=say(NAMES[name]),
        proposed=say("proposed") if name == found.mend.proposed else "",
        facts=tuple(_facts(way, reading)),
        moves=tuple(_move(each, found, reading) for each in way.moves),
        post=post if found.may_post else None,
    )


def _facts(way: MendFound, reading: Reading) -> Iterator[str]:
    say, number = reading.say, reading.number
    yield say("%(weight)s prepared in this plan", weight=reading.weight(Grams(way.worth_g)))
    yield reading.say_many("%(n)s turn moves", "%(n)s turns move", len(way.moves))
    if way.lost:
        yield say("without all of their place: %(notes)s", notes=reading.listed(list(way.lost)))
    if way.gained:
        yield say("with more of a place: %(notes)s", notes=reading.listed(list(way.gained)))
    yield say("notes that stay as they are: %(number)s", number=number(len(way.kept)))


def _move(move: TurnMove, found: Mended, reading: Reading) -> MoveShown:
    say = reading.say
    rule = f"{say(TITLES[move.rule])} ({move.rule})" if move.rule else ""
    return MoveShown(
        who=f"{move.grower_id} {found.names.get(move.grower_id, '')}",
        what=f"{move.note_id} {say(TURNS[move.kind])}",
        was=_when(move.was, reading, say("it had none")),
        now=_when(move.now, reading, say("falls away")),
        why=rule or say("so that others have a place"),
        reason=move.reason,
        short=move.notice_s < SHORT_S,
    )


def _when(span: Span | None, reading: Reading, none: str) -> str:
    return none if span is None else reading.span(span.start, span.end)
