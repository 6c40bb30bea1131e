"""The page "Papers in order": what each grower and process card has, till when, what is short."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar
from urllib.parse import urlencode

from api.services.coming import Coming
from api.services.house import ORIENTATION
from api.services.papers import SOON_DAYS, GrowersPapers, Letter
from scheduler.domain.harvest import Grower
from web.views.desk_note import TURNS
from web.views.form import Field, Form
from web.views.harvest_notes import ADDRESS as NOTES
from web.views.links import Link
from web.views.page import Page
from web.views.reading import Reading

ADDRESS = "/papers"
IN_DATE = 10**6  # days: a paper without a last day


@dataclass(frozen=True, slots=True)
class PaperRow:
    """One paper. left: days that it holds, below nought once it ended. renew: where that is done.

    state: "short", "soon" or "".
    """

    kind: str
    until: str
    told: str
    left: int
    state: str
    renew: str


@dataclass(frozen=True, slots=True)
class Holder:
    """A grower or a process card with its papers; more: where another is written down."""

    name: str
    papers: tuple[PaperRow, ...]
    more: str

    @property
    def short(self) -> bool:
        return any(each.state == "short" for each in self.papers)

    @property
    def in_order(self) -> bool:
        """With nothing that is short or ends soon."""
        return bool(self.papers) and not any(each.state for each in self.papers)


@dataclass(frozen=True, slots=True)
class Kept:
    """A note that cannot be firm, and what of its papers is short, in the planner's words. turns:
    those that it has all the same. mend: where these are planned anew, None where it has none."""

    link: Link
    whose: str
    short: tuple[str, ...]
    turns: tuple[str, ...]
    mend: Link | None


@dataclass(frozen=True, slots=True)
class PapersPage(Page):
    template: ClassVar[str] = "papers.html"
    today: str
    kept: tuple[Kept, ...]
    growers: tuple[Holder, ...]
    cards: tuple[Holder, ...]
    soon: str


def papers_page(
    growers: Iterable[GrowersPapers],
    cards: Iterable[Letter],
    kept: Iterable[Coming],
    reading: Reading,
    *,
    today: date,
) -> PapersPage:
    """What is short comes first, then what ends soonest."""
    return PapersPage(
        today=reading.day(today),
        kept=tuple(_kept(each, reading) for each in kept),
        growers=_ordered(_grower(each, reading) for each in growers),
        cards=_ordered(_card(each, reading) for each in cards),
        soon=reading.say("What ends within %(n)s days is marked.", n=max(SOON_DAYS)),
    )


def _ordered(holders: Iterable[Holder]) -> tuple[Holder, ...]:
    def soonest(holder: Holder) -> int:
        return min((each.left for each in holder.papers), default=IN_DATE)

    return tuple(sorted(holders, key=soonest))


def _kept(each: Coming, reading: Reading) -> Kept:
    link = Link(f"{each.entry.id} {each.card.name}", f"{NOTES}/{each.entry.id}")
    whose = f"{each.grower.name}, {reading.moment(each.entry.arrives)}"
    turns = tuple(
        f"{reading.say(TURNS[turn.kind])}, {reading.span(turn.start, turn.end)}"
        for turn in each.turns
    )
    week = f"/re-lay?week={each.entry.week}"
    mend = Link(reading.say("Re-lay the week"), week) if turns else None
    return Kept(link, whose, each.seen.papers_short, turns, mend)


def _grower(found: GrowersPapers, reading: Reading) -> Holder:
    where = f"{ADDRESS}/growers/{found.grower.id}"
    rows = sorted(_rows(found, reading, where), key=lambda each: (each.left, each.kind))
    return Holder(named(found.grower), tuple(rows), where)


def named(grower: Grower) -> str:
    return f"{grower.id} {grower.name}, {grower.farm}"


def _rows(found: GrowersPapers, reading: Reading, where: str) -> Iterator[PaperRow]:
    """Every paper that was written down, and the orientation that a helper has not done."""
    done = {each.helper for each in found.papers if each.kind == ORIENTATION}
    missing = (each for each in found.helpers if each.name not in done)
    kept = [(each.kind, each.helper, each.until) for each in found.papers]
    for kind, helper, until in (*kept, *((ORIENTATION, each.name, None) for each in missing)):
        asked = urlencode({"kind": kind} | ({"helper": helper} if helper else {}))
        name = reading.say("%(kind)s of %(helper)s", kind=kind, helper=helper) if helper else kind
        left = None if until is None else (until - found.today).days
        yield _row((name, until, left), f"{where}?{asked}", reading)


def _row(paper: tuple[str, date | None, int | None], renew: str, reading: Reading) -> PaperRow:
    """paper: kind, last day, days left; both None while it is missing."""
    kind, until, left = paper
    last = "" if until is None else reading.dated(until)
    if left is None:
        return PaperRow(kind, last, reading.say("missing"), -IN_DATE, "short", renew)
    if left < 0:
        told = reading.say_many("ended %(n)s day ago", "ended %(n)s days ago", -left)
        return PaperRow(kind, last, told, left, "short", renew)
    told = reading.say_many("%(n)s day left", "%(n)s days left", left)
    return PaperRow(kind, last, told, left, "soon" if left <= max(SOON_DAYS) else "", renew)


def _card(found: Letter, reading: Reading) -> Holder:
    where = f"{ADDRESS}/cards/{found.card.id}"
    seen, say = found.seen, reading.say
    if seen is None:
        row = PaperRow(say("process letter"), "", say("pending"), -IN_DATE, "short", where)
    elif seen.until is None:
        row = PaperRow(seen.letter, "", say("has no last day"), IN_DATE, "", where)
    else:
        left = (seen.until - found.today).days
        row = _row((seen.letter, seen.until, left), where, reading)
    return Holder(found.card.name, (row,), "")


def helpers_of(found: GrowersPapers) -> tuple[str, ...]:
    """Those that are known, by name."""
    named = {each.name for each in found.helpers} | {each.helper for each in found.papers}
    return tuple(sorted(named - {""}))


def paper_form(found: GrowersPapers, said: Mapping[str, str], reading: Reading) -> Form:
    """The kinds so far and the known helpers are offered. said: which paper it is about."""
    say = reading.say
    kinds = ", ".join(dict.fromkeys(each.kind for each in found.papers))
    so_far = say("So far: %(kinds)s", kinds=kinds) if kinds else ""
    known = (("", say("the grower's own")), *((each, each) for each in helpers_of(found)))
    short = {"maxlength": "80"}
    new = say(
        "This name becomes a new helper; the papers are short until her orientation was seen."
    )
    fields = (
        Field("kind", say("Which paper?"), hint=so_far, more=short),
        Field("helper", say("Whose is it?"), "choice", options=known, needed=False),
        Field("until", say("Its last day"), "date", needed=False),
        Field("missing", say("It is missing, or was withdrawn"), "yes", needed=False),
        Field("another", say("A new helper, who is not in the list"), hint=new, needed=False,
              more=short, folded=True),
    )  # fmt: skip
    return Form(f"{ADDRESS}/growers/{found.grower.id}", say("Write it down"), fields, said)


def letter_form(card_id: str, reading: Reading) -> Form:
    say = reading.say
    fields = (
        Field("letter", say("Which letter?"), hint=say("Its date and number"),
              more={"maxlength": "200"}),
        Field("until", say("Its last day"), "date", needed=False),
    )  # fmt: skip
    return Form(f"{ADDRESS}/cards/{card_id}", say("I saw it"), fields)
