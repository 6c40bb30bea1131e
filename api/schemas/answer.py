"""The instant answer to a note, as JSON and as one text."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal
from zoneinfo import ZoneInfo

from pydantic import Field

from api.schemas.body import Body
from api.services.answers import Question
from api.services.messages import fitting
from scheduler.answer import Answer, NoRoom, PlacedCharge, Price, TurnToCome
from scheduler.process.money import FeeLine
from scheduler.units import HOUR
from scheduler.wording import clock, clock_from, count, money, short_day


class SpanBody(Body):
    start: datetime
    end: datetime


class FeeLineBody(Body):
    """quantity x price, in minor units of the currency."""

    what: str
    quantity: float
    price: int
    amount: int

    @classmethod
    def from_domain(cls, line: FeeLine) -> FeeLineBody:
        quantity = round(float(line.quantity), 4)
        return cls(what=line.what, quantity=quantity, price=line.price, amount=line.amount)


class PriceBody(Body):
    """In minor units of the currency."""

    currency: str
    fees: int
    lines: list[FeeLineBody]
    packs: FeeLineBody
    own_work: int
    break_even_bag: int | None = Field(description="with the grower's own hours counted")
    break_even_bag_without_own_hours: int | None

    @classmethod
    def from_domain(cls, price: Price, currency: str) -> PriceBody:
        even = price.break_even
        return cls(
            currency=currency,
            fees=price.fees,
            lines=[FeeLineBody.from_domain(line) for line in price.lines],
            packs=FeeLineBody.from_domain(price.packs),
            own_work=price.own_work,
            break_even_bag=even.with_own_hours if even else None,
            break_even_bag_without_own_hours=even.without_own_hours if even else None,
        )


class AnswerChargeBody(Body):
    letter: str
    dryer: str
    racks: int
    drying: SpanBody
    drying_hours: float
    steam_loads: int
    bags: int


class AnswerTurnBody(Body):
    kind: Literal["bringing", "packing"]
    start: datetime
    end: datetime


class BagsBody(Body):
    """At the weight noted, and when it weighs in 30 % lighter or heavier."""

    likely: int
    fewest: int
    most: int


class PlacedBody(Body):
    """Where it would fit. Provisional: nothing is promised until a plan with it is posted."""

    outcome: Literal["would fit"] = "would fit"
    provisional: bool = True
    against_plan: int | None = Field(
        description="the plan it was asked against; null: none yet, or a grower reads"
    )
    text: str = Field(description="the same in one text under 480 characters")
    arrive: SpanBody
    turns: list[AnswerTurnBody]
    charges: list[AnswerChargeBody]
    racks: int
    drying_hours: float
    steam_loads: int
    price: PriceBody
    bags: BagsBody
    papers_short: list[str]
    over_caps: list[str] = Field(description="rule 16, a sentence each")
    waits_kg: float = Field(description="how much of it has no place")


class NoRoomBody(Body):
    """The rule that leaves no room: the note goes on the waiting list."""

    outcome: Literal["waits"] = "waits"
    provisional: bool = True
    against_plan: int | None
    text: str
    rule: int
    rule_title: str
    reason: str


class NotAnsweredBody(Body):
    """The plan must first be laid out anew: something it stood on has changed."""

    outcome: Literal["not answered"] = "not answered"
    provisional: bool = True
    against_plan: int | None
    text: str = "Noted. The answer comes with the next lay-out."


AnswerBody = PlacedBody | NoRoomBody | NotAnsweredBody


def answer_body(question: Question, answer: Answer | NoRoom | None) -> AnswerBody:
    """What the grower is told."""
    against = question.against.number if question.against else None
    if answer is None:
        return NotAnsweredBody(against_plan=against)
    if isinstance(answer, NoRoom):
        return NoRoomBody(
            against_plan=against,
            text=fitting("Noted, on the waiting list:", [answer.reason]),
            rule=answer.rule,
            rule_title=answer.title,
            reason=answer.reason,
        )
    return _placed(question, answer, against)


def answer_in_json(question: Question, answer: Answer | NoRoom | None) -> dict[str, Any]:
    """The same as JSON values, to be kept with the note."""
    return answer_body(question, answer).model_dump(mode="json")


def _placed(question: Question, answer: Answer, against: int | None) -> PlacedBody:
    kitchen = question.asked.kitchen
    arrive = SpanBody(**_local(answer.arrive.start, answer.arrive.end, kitchen.zone))
    return PlacedBody(
        against_plan=against,
        text=_text(question, answer),
        arrive=arrive,
        turns=[turn_body(turn, kitchen.zone) for turn in answer.turns],
        charges=[_charge(charge, kitchen.zone) for charge in answer.charges],
        racks=answer.racks,
        drying_hours=answer.drying_s / HOUR,
        steam_loads=answer.steam_loads,
        price=PriceBody.from_domain(answer.price, kitchen.currency),
        bags=BagsBody(likely=answer.bags.likely, fewest=answer.bags.fewest, most=answer.bags.most),
        papers_short=list(answer.papers_short),
        over_caps=list(answer.caps.over),
        waits_kg=answer.rest.field_g / 1000 if answer.rest else 0,
    )


def _local(start: datetime, end: datetime, zone: ZoneInfo) -> dict[str, datetime]:
    return {"start": start.astimezone(zone), "end": end.astimezone(zone)}


def turn_body(turn: TurnToCome, zone: ZoneInfo) -> AnswerTurnBody:
    return AnswerTurnBody(kind=turn.kind, **_local(turn.span.start, turn.span.end, zone))


def _charge(charge: PlacedCharge, zone: ZoneInfo) -> AnswerChargeBody:
    return AnswerChargeBody(
        letter=charge.letter,
        dryer=charge.dryer,
        racks=charge.racks,
        drying=SpanBody(**_local(charge.start, charge.end, zone)),
        drying_hours=charge.drying_s / HOUR,
        steam_loads=charge.steam_loads,
        bags=charge.bags,
    )


def _text(question: Question, answer: Answer) -> str:
    """The eight things a grower asks, in one text."""
    kitchen, zone = question.asked.kitchen, question.asked.kitchen.zone
    card = question.asked.card(question.note.card_id)
    start, end = answer.arrive.start.astimezone(zone), answer.arrive.end.astimezone(zone)
    head = f"{card.name}, not promised yet: bring it {short_day(start)} {clock(start)}"
    by = "" if start == end else f" to {clock_from(end, start.date())}"
    packing = [t.span.start.astimezone(zone) for t in answer.turns if t.kind == "packing"]
    lines = [
        f"{count(answer.racks, 'rack')}, {answer.drying_s / HOUR:.3g} h,"
        f" {count(answer.steam_loads, 'steam load')}.",
        f"About {answer.bags.likely} bags ({answer.bags.fewest}-{answer.bags.most}).",
        f"Fees {money(answer.price.fees, kitchen.currency)}.",
        *(f"Pack {short_day(at)} {clock(at)}." for at in packing),
    ]
    if answer.price.break_even:
        even = money(answer.price.break_even.with_own_hours, kitchen.currency)
        lines.append(f"A bag must bring {even}.")
    lines += [f"{paper}: pencilled only." for paper in answer.papers_short]
    lines += list(answer.caps.over)
    return fitting(f"{head}{by}.", lines)
