"""GET /api/v1/invoices: what growers owe for a month."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query

from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.bills import MonthsBillsBody
from api.schemas.body import Day
from api.services.bills import months_bills

router = APIRouter(prefix="/api/v1/invoices", tags=["Invoices"])


@router.get("", operation_id="invoices", summary="Invoices", responses=problems())
def list_invoices(
    desk: AtDesk, month: Annotated[Day, Query(description="any day of the month")]
) -> MonthsBillsBody:
    """Line by line, each with the record behind it; a grower reads her own."""
    with desk.reading() as (book, doing):
        return MonthsBillsBody.from_domain(months_bills(book, doing, month))
