"""The pages "My lots" and of one lot: where it is now, what is next, what it comes to, why not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import ClassVar

from api.schemas.answer import answer_body
from api.services.own_lots import OwnLot
from scheduler.domain.rules import TITLES
from scheduler.domain.turn import Turn
from scheduler.units import Grams
from web.views.answer import AnswerShown, WhyNot, answer_shown, kept_answer
from web.views.fees import ADDRESS as FEES
from web.views.form import Field, Form
from web.views.links import Link
from web.views.page import Page
from web.views.reading import N_, Reading
from web.views.tell import more_fields, note_fields, said_of

ADDRESS = "/my-lots"
MOST_WEEKS = 4  # a month of them
NOW = {  # where a note or a lot is, in a sentence
    "noted": N_("Noted. The next plan decides."),
    "pencilled": N_("Pencilled: planned, not promised yet."),
    "firm": N_("Firm: the kitchen expects you."),
    "at the door": N_("Brought to the kitchen."),
    "let go": N_("Let go."),
    "stood down": N_("Stood down by the kitchen."),
    "no-show": N_("It was expected and did not come."),
    "carried over": N_("Carried over to a later week."),
    "raw": N_("In the kitchen, still whole."),
    "on racks": N_("On the racks, in the dryer."),
    "off racks": N_("Out of the dryer, resting until its dry check."),
    "held": N_("Held after its dry check: the kitchen decides what is next."),
    "back to dryer": N_("Not dry enough yet: back in a dryer."),
    "passed": N_("Dry check passed: it can be packed."),
    "packed": N_("Packed."),
    "discarded": N_("Discarded."),
}
WAITS = N_("On the waiting list.")
TIMED = ("weight", "day", "at")  # what is promised of a firm note
MAY_CHANGE = ("noted", "pencilled", "firm")
ENDED = ("let go", "stood down", "no-show", "carried over")


@dataclass(frozen=True, slots=True)
class LotRow:
    """One lot in the list. next: what she is to do, "" where nothing. price, bags: where known."""

    href: str
    name: str
    weight: str
    now: str
    next: str
    price: str
    bags: str
    decide: bool


@dataclass(frozen=True, slots=True)
class MyLotsPage(Page):
    """coming: what still asks something of her or of the kitchen; earlier: what is over."""

    template: ClassVar[str] = "my_lots.html"
    coming: tuple[LotRow, ...]
    earlier: tuple[LotRow, ...]
    may_tell: bool
    fees: tuple[Link, ...]  # of the weeks in which a lot of hers has a place


@dataclass(frozen=True, slots=True)
class LotPage(Page):
    """row: as in the list. code: as weighed in. facts: what she told. links: what she may do."""

    template: ClassVar[str] = "lot.html"
    row: LotRow
    code: str
    facts: tuple[tuple[str, str], ...]
    turns: tuple[tuple[str, str], ...]  # those that its place does not tell already
    answer: AnswerShown | None
    why_not: WhyNot | None
    papers_short: tuple[str, ...]
    links: tuple[Link, ...]


def my_lots_page(
    lots: Iterable[OwnLot], reading: Reading, *, now: datetime, may_tell: bool, fees: bool = False
) -> MyLotsPage:
    """The next to come first; what is over, the last first. fees: whether she may read them all."""
    every = list(lots)
    over = [each for each in every if _is_over(each, now)]
    coming = sorted((each for each in every if each not in over), key=lambda each: _when(each, now))
    return MyLotsPage(
        coming=tuple(_row(each, reading, now=now) for each in coming),
        earlier=tuple(_row(each, reading, now=now) for each in over),
        may_tell=may_tell,
        fees=tuple(_fees(every, reading)) if fees else (),
    )


def _fees(lots: Iterable[OwnLot], reading: Reading) -> Iterable[Link]:
    weeks = {own.entry.week for own in lots if own.placed is not None}
    for week in sorted(weeks, reverse=True)[:MOST_WEEKS]:
        told = reading.say("Turns and fees of %(week)s", week=week)
        yield Link(told, f"{FEES}/{week}")


def _is_over(own: OwnLot, now: datetime) -> bool:
    if own.lot is not None:
        return own.lot.state in ("packed", "discarded")
    return own.entry.state in ENDED or own.entry.latest_start < now


def _when(own: OwnLot, now: datetime) -> datetime:
    turn = _next(own, now)
    return own.entry.arrives if turn is None else turn.start


def _next(own: OwnLot, now: datetime) -> Turn | None:
    return next((turn for turn in own.turns if turn.end >= now), None)


def _row(own: OwnLot, reading: Reading, *, now: datetime) -> LotRow:
    entry, place = own.entry, _answer(own, reading)
    shown = place.place if place else None
    waits = own.waiting is not None and own.placed is None
    state = own.lot.state if own.lot else entry.state
    return LotRow(
        href=f"{ADDRESS}/{entry.id}",
        name=own.card.name,
        weight=reading.weight(entry.field_g),
        now=_now(own, state, reading),
        next=_told(_next(own, now), reading),
        price=shown.bill.fees if shown else "",
        bags=shown.facts[-1][1] if shown else "",
        decide=waits or bool(own.seen.papers_short) or state == "held",
    )


def _now(own: OwnLot, state: str, reading: Reading) -> str:
    """What is firm and what waits are two sentences, where a part of it has a place."""
    if own.waiting is None or own.lot is not None:
        return reading.say(NOW[state])
    if own.placed is None:
        return reading.say(WAITS)
    rest = reading.weight(own.waiting.field_g)
    placed = reading.weight(Grams(own.entry.field_g - own.waiting.field_g))
    parts = reading.say(
        "%(placed)s of it; %(rest)s is on the waiting list.", placed=placed, rest=rest
    )
    return f"{reading.say(NOW[state])} {parts}"


def _told(turn: Turn | None, reading: Reading) -> str:
    if turn is None:
        return ""
    if turn.kind == "packing":
        return reading.say("Come to pack %(when)s.", when=reading.span(turn.start, turn.end))
    return reading.say(
        "Bring it by %(by)s; you are at work until %(until)s.",
        by=reading.moment(turn.start),
        until=reading.clock_from(turn.end, reading.local(turn.start).date()),
    )


def _answer(own: OwnLot, reading: Reading) -> AnswerShown | None:
    """Its place in the posted plan; before anything was decided, what was answered when told."""
    if own.placed is not None:
        return answer_shown(answer_body(*own.placed), reading, firm=own.entry.state != "pencilled")
    undecided = own.entry.state == "noted" and own.waiting is None
    return kept_answer(own.entry.answer, reading) if undecided else None


def lot_page(own: OwnLot, reading: Reading, *, now: datetime, may_change: bool) -> LotPage:
    waiting, entry, answer = own.waiting, own.entry, _answer(own, reading)
    why_not = None
    if waiting is not None:
        title = reading.say(TITLES[waiting.rule]) if waiting.rule else ""
        part = reading.weight(waiting.field_g) if own.placed is not None else ""
        why_not = WhyNot(
            waiting.rule, title, waiting.reason, waiting.remedy, waiting.proved, part=part
        )
    return LotPage(
        row=_row(own, reading, now=now),
        code=own.lot.code if own.lot else "",
        facts=tuple(_facts(own, reading)),
        turns=() if answer and answer.place else tuple(_turns(own, reading)),
        answer=answer,
        why_not=why_not,
        papers_short=own.seen.papers_short if entry.asks else (),
        links=tuple(_links(own, reading)) if may_change else (),
    )


_KINDS: dict[str, str] = {"bringing": N_("you are at work"), "packing": N_("you pack")}


def _turns(own: OwnLot, reading: Reading) -> Iterable[tuple[str, str]]:
    for turn in own.turns:
        yield reading.say(_KINDS[turn.kind]), reading.span(turn.start, turn.end)


def _facts(own: OwnLot, reading: Reading) -> Iterable[tuple[str, str]]:
    entry, say = own.entry, reading.say
    yield say("told as"), entry.id
    yield say("weight"), reading.weight(entry.field_g)
    yield say("arrives"), reading.moment(entry.arrives)
    yield say("in a dryer at the latest"), reading.moment(entry.latest_start)
    if entry.remark:
        yield say("remark"), entry.remark
    if own.lot and own.lot.bags is not None:
        yield say("bags packed"), reading.number(own.lot.bags)


def _links(own: OwnLot, reading: Reading) -> Iterable[Link]:
    if own.entry.state in MAY_CHANGE:
        where = f"{ADDRESS}/{own.entry.id}"
        yield Link(reading.say("Change it"), f"{where}/change")
        yield Link(reading.say("Let it go"), f"{where}/let-go")


def change_form(own: OwnLot, reading: Reading) -> Form:
    """Of a firm note, whose weight and time are promised, only what else was told."""
    entry = own.entry
    fields = more_fields(reading) if entry.state == "firm" else note_fields(reading)
    shown = tuple(replace(each, folded=False) for each in fields)
    said = said_of(entry.note, reading) | {"version": str(entry.version)}
    version = Field("version", "", "hidden")
    where = f"{ADDRESS}/{entry.id}/change"
    return Form(where, reading.say("Keep the change"), (version, *shown), said)


def as_it_was(own: OwnLot, reading: Reading) -> dict[str, str]:
    """Its fields as they stand, to the gram, for who would undo a change."""
    said = said_of(own.entry.note, reading, exactly=True)
    return {name: said[name] for name in said if own.entry.state != "firm" or name not in TIMED}


def let_go_form(own: OwnLot, reading: Reading) -> Form:
    entry = own.entry
    return Form(
        f"{ADDRESS}/{entry.id}/let-go",
        reading.say("Let it go"),
        (Field("version", "", "hidden"),),
        {"version": str(entry.version)},
        danger=True,
    )
