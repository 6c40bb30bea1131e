"""Invoices of a month from the book: everybody's, or a grower's own."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date, timedelta

from api.services.errors import NoSuchThing
from api.services.ports import Book
from api.services.roles import Act, Doing, whose
from api.services.season import records_of
from scheduler.domain.clock import Week
from scheduler.domain.harvest import Grower
from scheduler.errors import NoSuchPlan
from scheduler.season.bills import BillLine, Invoice, invoices

_RUN = re.compile(r"run (?:on record )?\S+ in ")  # its number counts the runs of others


@dataclass(frozen=True, slots=True)
class MonthsBills:
    """month: its first day; currency: of the kitchen, "" where nothing was posted. growers: those
    with an invoice. own: a grower reads her own."""

    month: date
    currency: str
    invoices: tuple[Invoice, ...]
    growers: tuple[Grower, ...] = ()
    own: bool = False

    def of(self, grower_id: str) -> MonthsBills:
        """That grower's alone; NoSuchThing where she owes nothing, or it is not to be read."""
        found = tuple(each for each in self.invoices if each.grower_id == grower_id)
        if not found:
            raise NoSuchThing(f"{grower_id} has no invoice of {self.month:%Y-%m}")
        return replace(self, invoices=found)


def months_bills(book: Book, doing: Doing, month: date) -> MonthsBills:
    """What growers owe for the runs that started in that month, by posted plans and records. What
    was posted and is neither on record nor past is not owed yet.

    month: any day of it. A grower reads her own, without what tells of others.
    """
    own = whose(doing, Act.READ_BILLS)
    first = month.replace(day=1)
    last = (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)
    before = Week.of(first - timedelta(days=7))  # its racks may dry on in the month
    try:
        found = records_of(book, first=before, last=Week.of(last), until=doing.at)
    except NoSuchPlan:
        return MonthsBills(first, "", (), own=own is not None)
    hers = tuple(
        each for each in invoices(found) if each.month == first and own in (None, each.grower_id)
    )
    if own is not None:
        hers = tuple(
            replace(each, lines=tuple(_for_her(line) for line in each.lines)) for each in hers
        )
    owing = {each.grower_id for each in hers}
    return MonthsBills(
        month=first,
        currency=found.kitchen.currency,
        invoices=hers,
        growers=tuple(each.grower for each in book.growers.where() if each.id in owing),
        own=own is not None,
    )


def _for_her(line: BillLine) -> BillLine:
    record = _RUN.sub("", line.record).partition("; turned away")[0]
    return replace(line, record=record)
