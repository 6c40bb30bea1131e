"""The answer to a harvest note as a grower reads it: a place with all that goes with it, or why
there is none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from pydantic import TypeAdapter

from api.schemas.answer import (
    AnswerBody,
    FeeLineBody,
    NoRoomBody,
    PlacedBody,
    PriceBody,
    SpanBody,
)
from scheduler.units import HOUR, grams
from web.views.page import Page
from web.views.reading import N_, Reading

FEES = (
    N_("table hours"), N_("steam loads"), N_("rack-hours by day"), N_("rack-hours"),
    N_("crate-days"), N_("bench hours"), N_("non-member surcharge"), N_("bags"),
    N_("no-show, of the dryer fee"), N_("let go late, of the dryer fee"),
)  # fmt: skip  # what the lines of a bill are called; some end in "after 19:00"
_ANSWERS: TypeAdapter[AnswerBody] = TypeAdapter(AnswerBody)


@dataclass(frozen=True, slots=True)
class BillLine:
    """what, how many at which price, and what it comes to."""

    what: str
    reckoned: str
    amount: str


@dataclass(frozen=True, slots=True)
class Bill:
    """fees: the sum of the lines. even: what a bag must bring, with her own hours and without."""

    lines: tuple[BillLine, ...]
    fees: str
    bags: BillLine
    own_work: str
    even: str
    even_without: str


@dataclass(frozen=True, slots=True)
class PlaceShown:
    """A place: when to bring it, what it takes, what comes of it. waits: what has none of it."""

    bring: str
    work: tuple[str, ...]
    pack: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    bill: Bill
    papers_short: tuple[str, ...]
    over_caps: tuple[str, ...]
    waits: str


@dataclass(frozen=True, slots=True)
class WhyNot:
    """reason and remedy are the planner's own sentences, in English."""

    rule: int | None
    title: str
    reason: str
    remedy: str = ""
    proved: bool = False
    part: str = ""  # how much of it waits, where the rest has a place


@dataclass(frozen=True, slots=True)
class AnswerShown(Page):
    """place, or why_not, or neither: it comes with the next lay-out. firm: promised already."""

    template: ClassVar[str] = "answer.html"
    place: PlaceShown | None = None
    why_not: WhyNot | None = None
    firm: bool = False


def kept_answer(told: dict[str, Any] | None, reading: Reading) -> AnswerShown | None:
    """As it was told and kept with the note; None where none was."""
    return None if told is None else answer_shown(_ANSWERS.validate_python(told), reading)


def answer_shown(body: AnswerBody, reading: Reading, *, firm: bool = False) -> AnswerShown:
    if isinstance(body, PlacedBody):
        return AnswerShown(place=_place(body, reading), firm=firm)
    if isinstance(body, NoRoomBody):
        return AnswerShown(why_not=WhyNot(body.rule, reading.say(body.rule_title), body.reason))
    return AnswerShown()


def _place(body: PlacedBody, reading: Reading) -> PlaceShown:
    work, pack = (
        tuple(_span(turn, reading) for turn in body.turns if turn.kind == kind)
        for kind in ("bringing", "packing")
    )
    return PlaceShown(
        bring=_span(body.arrive, reading),
        work=work,
        pack=pack,
        facts=tuple(_facts(body, reading)),
        bill=bill_shown(body.price, reading),
        papers_short=tuple(body.papers_short),
        over_caps=tuple(body.over_caps),
        waits=reading.weight(grams(body.waits_kg)) if body.waits_kg else "",
    )


def _span(span: SpanBody | Any, reading: Reading) -> str:
    return reading.span(span.start, span.end)


def _facts(body: PlacedBody, reading: Reading) -> Iterator[tuple[str, str]]:
    """Bags last, at the weight told, and from 30 % lighter to 30 % heavier."""
    say, bags = reading.say, body.bags
    yield say("racks"), reading.number(body.racks)
    yield say("hours in the dryer"), reading.duration(round(body.drying_hours * HOUR))
    if body.steam_loads:
        yield say("steam loads"), reading.number(body.steam_loads)
    numbers = (reading.number(each) for each in (bags.likely, bags.fewest, bags.most))
    likely, fewest, most = numbers
    told = say("about %(likely)s (%(fewest)s to %(most)s)", likely=likely, fewest=fewest, most=most)
    yield say("bags"), told


def bill_shown(price: PriceBody, reading: Reading) -> Bill:
    """With its lines; what stands beside the fees."""

    def money(minor: int | None) -> str:
        return "" if minor is None else reading.money(minor, price.currency)

    return Bill(
        lines=tuple(_line(line, price.currency, reading) for line in price.lines),
        fees=money(price.fees),
        bags=_line(price.packs, price.currency, reading),
        own_work=money(price.own_work),
        even=money(price.break_even_bag),
        even_without=money(price.break_even_bag_without_own_hours),
    )


def _line(line: FeeLineBody, currency: str, reading: Reading) -> BillLine:
    reckoned = reckoned_as(line.quantity, line.price, currency, reading)
    return BillLine(fee_named(line.what, reading), reckoned, reading.money(line.amount, currency))


def fee_named(what: str, reading: Reading) -> str:
    """A line of a bill, in the reader's language."""
    name, _, hour = what.partition(" after ")
    name = reading.say(name)
    return reading.say("%(what)s after %(hour)s", what=name, hour=hour) if hour else name


def reckoned_as(quantity: float, price: int, currency: str, reading: Reading) -> str:
    return f"{reading.number(quantity, 2)} × {reading.money(price, currency)}"  # noqa: RUF001
