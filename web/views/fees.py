"""What the page "Turns and fees" shows: when each grower comes, and what each lot costs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from api.schemas.answer import PriceBody
from api.services.fees import Fees
from scheduler.answer.bills import GrowerBill, LotBill
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.rules import SIMPLE
from web.views.answer import Bill, bill_shown
from web.views.links import Link, version, week_link
from web.views.page import Page
from web.views.reading import N_, Reading

ADDRESS = "/fees"
KINDS = {"bringing": N_("at work"), "packing": N_("packs")}


@dataclass(frozen=True, slots=True)
class LotFees:
    """A lot: when it arrives, its turns by kind and time, its fees; waits: what has no place."""

    id: str
    name: str
    turns: tuple[tuple[str, str], ...]
    bill: Bill
    bags: str
    waits: str


@dataclass(frozen=True, slots=True)
class GrowerFees:
    """nothing_for: notes of hers that have no fees here, and why."""

    id: str
    name: str
    fees: str
    lots: tuple[LotFees, ...]
    nothing_for: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FeesPage(Page):
    """Turns and fees of one plan, grower by grower. own: she reads her own, without a version."""

    template: ClassVar[str] = "fees.html"
    own: bool
    week: Link
    state: str
    version: str
    easier: bool
    growers: tuple[GrowerFees, ...]
    together: str


def fees_link(reading: Reading, week: Week) -> Link:
    """To the fees of the plan that stands for that week."""
    return Link(reading.say("Turns and fees"), f"{ADDRESS}/{week}")


def fees_page(fees: Fees, reading: Reading) -> FeesPage:
    kept = fees.kept
    currency = kept.asked.kitchen.currency
    week = week_link(kept.plan.week)
    return FeesPage(
        own=fees.own,
        week=Link(reading.say("My lots"), "/my-lots") if fees.own else week,
        state=kept.state,
        version=str(kept.plan.week) if fees.own else version(kept, reading),
        easier=kept.plan.rules == SIMPLE.name,
        growers=tuple(_grower(each, kept.asked, reading) for each in fees.growers),
        together=reading.money(sum(each.fees for each in fees.growers), currency),
    )


def _grower(bill: GrowerBill, asked: Asked, reading: Reading) -> GrowerFees:
    say, grower, currency = reading.say, bill.grower, asked.kitchen.currency
    unplaced = (say("%(note)s has no place: nothing.", note=each)
                for each in _named(bill.unplaced, asked))  # fmt: skip
    under_way = (say("%(note)s was under way: its fees stand with the plan before.", note=each)
                 for each in _named(bill.under_way, asked))  # fmt: skip
    return GrowerFees(
        id=grower.id,
        name=f"{grower.farm}, {grower.name}",
        fees=reading.money(bill.fees, currency),
        lots=tuple(_lot(each, reading) for each in bill.lots),
        nothing_for=(*unplaced, *under_way),
    )


def _named(notes: Iterable[HarvestNote], asked: Asked) -> Iterable[str]:
    return (f"{each.id} {asked.card(each.card_id).name}" for each in notes)


def _lot(bill: LotBill, reading: Reading) -> LotFees:
    return LotFees(
        id=bill.note.id,
        name=f"{bill.note.id} {bill.card.name}, {reading.weight(bill.note.field_g)}",
        turns=tuple(_turns(bill, reading)),
        bill=bill_shown(PriceBody.from_domain(bill.price, bill.currency), reading),
        bags=reading.number(bill.bags.likely),
        waits=reading.weight(bill.waits_g) if bill.waits_g else "",
    )


def _turns(bill: LotBill, reading: Reading) -> Iterator[tuple[str, str]]:
    yield reading.say("arrives"), reading.moment(bill.note.arrives)
    for turn in bill.turns:
        yield reading.say(KINDS[turn.kind]), reading.span(turn.span.start, turn.span.end)
