"""What the page "Invoices" shows: who owes what for a month, each line with its record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from api.services.bills import MonthsBills
from scheduler.domain.harvest import Grower
from scheduler.season.bills import BillLine, Invoice
from web.views.answer import fee_named, reckoned_as
from web.views.links import Link
from web.views.lot_card import card_link
from web.views.page import Page
from web.views.reading import Reading

ADDRESS = "/invoices"


@dataclass(frozen=True, slots=True)
class LineShown:
    """lot: to the card that its record stands on. record: in the words of the records."""

    what: str
    reckoned: str
    amount: str
    lot: Link
    record: str


@dataclass(frozen=True, slots=True)
class InvoiceShown:
    """whole: where it stands alone, and as a table."""

    id: str
    name: str
    total: str
    whole: Link
    csv: Link
    lines: tuple[LineShown, ...]


@dataclass(frozen=True, slots=True)
class InvoicesPage(Page):
    """open: every invoice with its lines, else only what it comes to. together: "" of one alone."""

    template: ClassVar[str] = "invoices.html"
    kitchen: str
    month: str
    before: Link
    after: Link | None
    invoices: tuple[InvoiceShown, ...]
    open: bool
    together: str
    links: tuple[Link, ...]


def month_address(month: date) -> str:
    return f"{ADDRESS}/{month:%Y-%m}"


def invoices_page(
    found: MonthsBills, reading: Reading, *, kitchen: str, today: date, lines: bool, alone: bool
) -> InvoicesPage:
    """lines: with them. alone: one grower's; whoever reads her own has no other."""
    total = sum(each.total for each in found.invoices)
    names = {each.id: each for each in found.growers}
    opened = lines or alone or found.own
    return InvoicesPage(
        kitchen=kitchen,
        month=reading.month(found.month),
        before=_month_link(found.month - timedelta(days=1), reading),
        after=_after(found.month, today, reading),
        invoices=tuple(
            _invoice(each, names[each.grower_id], found.currency, reading)
            for each in found.invoices
        ),
        open=opened,
        together="" if alone or found.own else reading.money(total, found.currency or "USD"),
        links=tuple(_links(found, reading, opened=opened, alone=alone)),
    )


def _month_link(day: date, reading: Reading) -> Link:
    month = day.replace(day=1)
    return Link(reading.month(month), month_address(month))


def _after(month: date, today: date, reading: Reading) -> Link | None:
    """None where it has not begun."""
    after = (month + timedelta(days=31)).replace(day=1)
    return None if after > today else _month_link(after, reading)


def _links(found: MonthsBills, reading: Reading, *, opened: bool, alone: bool) -> list[Link]:
    where, say = month_address(found.month), reading.say
    if not found.invoices:
        return []
    if alone and not found.own:
        return [Link(say("All invoices of the month"), where)]
    links = [Link(say("All lines (CSV)"), f"{where}/csv")]
    if not opened:
        links.insert(0, Link(say("All with their lines, to print"), f"{where}?lines=yes"))
    return links


def _invoice(each: Invoice, grower: Grower, currency: str, reading: Reading) -> InvoiceShown:
    where = f"{month_address(each.month)}/{each.grower_id}"
    return InvoiceShown(
        id=each.grower_id,
        name=f"{grower.farm}, {grower.name}",
        total=reading.money(each.total, currency),
        whole=Link(f"{each.grower_id} {grower.farm}", where),
        csv=Link(reading.say("As a table (CSV)"), f"{where}/csv"),
        lines=tuple(_line(line, currency, reading) for line in each.lines),
    )


def _line(line: BillLine, currency: str, reading: Reading) -> LineShown:
    quantity = float(line.fee.quantity)
    return LineShown(
        what=fee_named(line.fee.what, reading),
        reckoned=reckoned_as(quantity, line.fee.price, currency, reading),
        amount=reading.money(line.amount, currency),
        lot=Link(f"{line.lot_code or line.note_id} {line.crop}", card_link(line.note_id)),
        record=line.record,
    )
