"""What a plan costs its growers as text: a line each, or every lot with its lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from zoneinfo import ZoneInfo

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from scheduler.answer import TurnToCome
from scheduler.answer.bills import GrowerBill, LotBill, bills
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.process.money import FeeLine
from scheduler.wording import clock, clock_from, money, plain, short_day, weight

KINDS = {"bringing": "at work", "packing": "packs"}


def fees_by_grower(asked: Asked, plan: Plan) -> Iterator[RenderableType]:
    """Each grower's lots and what they come to."""
    table = Table(box=None, pad_edge=False, show_header=False)
    for each in bills(asked, plan):
        lots = [f"{lot.note.id} {money(lot.price.fees, lot.currency)}" for lot in each.lots]
        lots += [f"{note.id} no place" for note in each.unplaced]
        lots += [f"{note.id} under way" for note in each.under_way]
        fees = money(each.fees, asked.kitchen.currency)
        table.add_row(f"{each.grower.id} {each.grower.farm}", f"{fees:>12}", ", ".join(lots))
    yield Text("Fees as planned, by grower and lot", style="bold")
    yield table


def fees_text(found: Iterable[GrowerBill], asked: Asked) -> Iterator[RenderableType]:
    """Every lot with its turns and the lines of its bill."""
    zone, currency = asked.kitchen.zone, asked.kitchen.currency
    for each in found:
        grower = each.grower
        told = f"{grower.id} {grower.farm}, {grower.name}: {money(each.fees, currency)}"
        yield Text(told, style="bold")
        for lot in each.lots:
            yield from _lot(lot, asked, zone)
        for note in each.unplaced:
            yield Text(f"  {note.id} {asked.card(note.card_id).name}: no place, nothing to pay")
        for note in each.under_way:
            name = asked.card(note.card_id).name
            yield Text(f"  {note.id} {name}: under way, its fees stand with the plan before")


def _lot(lot: LotBill, asked: Asked, zone: ZoneInfo) -> Iterator[RenderableType]:
    amount = weight(lot.note.field_g, asked.kitchen.weight_unit)
    arrives = lot.note.arrives.astimezone(zone)
    turns = ", ".join(_turn(each, zone) for each in lot.turns)
    comes = f"arrives {short_day(arrives)} {clock(arrives)}, {turns}"
    yield Text(f"  {lot.note.id} {lot.card.name}, {amount}: {comes}")
    table = Table(box=None, pad_edge=False, show_header=False, padding=(0, 2, 0, 0))
    for line in lot.price.lines:
        amount = money(line.amount, lot.currency)
        table.add_row(f"    {line.what}", _reckoned(line, lot), f"{amount:>12}")
    table.add_row("    fees", "", f"{money(lot.price.fees, lot.currency):>12}")
    yield table


def _turn(turn: TurnToCome, zone: ZoneInfo) -> str:
    start, end = (at.astimezone(zone) for at in (turn.span.start, turn.span.end))
    return (
        f"{KINDS[turn.kind]} {short_day(start)} {clock(start)} to {clock_from(end, start.date())}"
    )


def _reckoned(line: FeeLine, lot: LotBill) -> str:
    quantity = plain(float(line.quantity), decimals=2)
    return f"{quantity} x {money(line.price, lot.currency)}"
