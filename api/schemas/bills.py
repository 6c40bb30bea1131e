"""Invoices as JSON, line by line, in minor units of the currency."""

from __future__ import annotations

from datetime import date

from pydantic import Field

from api.schemas.body import Body
from api.services.bills import MonthsBills
from scheduler.season.bills import BillLine, Invoice


class BillLineBody(Body):
    note_id: str
    lot_code: str
    crop: str
    what: str
    quantity: float
    price: int = Field(description="of one, in minor units")
    amount: int = Field(description="in minor units, rounded to the nearest")
    record: str = Field(description="where it can be looked up")

    @classmethod
    def from_domain(cls, line: BillLine) -> BillLineBody:
        return cls(
            note_id=line.note_id,
            lot_code=line.lot_code,
            crop=line.crop,
            what=line.fee.what,
            quantity=float(line.fee.quantity),
            price=line.fee.price,
            amount=line.amount,
            record=line.record,
        )


class InvoiceBody(Body):
    grower_id: str
    month: date
    total: int = Field(description="in minor units")
    lines: list[BillLineBody]

    @classmethod
    def from_domain(cls, invoice: Invoice) -> InvoiceBody:
        return cls(
            grower_id=invoice.grower_id,
            month=invoice.month,
            total=invoice.total,
            lines=[BillLineBody.from_domain(each) for each in invoice.lines],
        )


class MonthsBillsBody(Body):
    month: date
    currency: str
    invoices: list[InvoiceBody]

    @classmethod
    def from_domain(cls, found: MonthsBills) -> MonthsBillsBody:
        return cls(
            month=found.month,
            currency=found.currency,
            invoices=[InvoiceBody.from_domain(each) for each in found.invoices],
        )
