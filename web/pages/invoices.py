"""GET /invoices: what growers owe for a month, to read, to print, as CSV."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import RedirectResponse, Response

from api.services.bills import MonthsBills, months_bills
from api.services.bounds import FIRST_YEAR, LAST_YEAR
from api.services.house import today_of
from api.services.roles import Act, must
from scheduler.errors import BadInput, InputFault
from scheduler.season.sheets import csv_text
from scheduler.season.tables import lines_table
from web.pages.visit import AtDoor, Visit
from web.views.invoices import ADDRESS, invoices_page, month_address
from web.views.plain import NoKitchenPage

router = APIRouter(include_in_schema=False)
ONE = f"{ADDRESS}/{{month}}"
Month = Annotated[str, Path(max_length=10)]
GrowerId = Annotated[str, Path(max_length=60)]
Yes = Annotated[str, Query(max_length=3)]


@router.get(ADDRESS)
def this_month(door: AtDoor) -> Response:
    with door.reading() as (book, doing):
        must(doing, Act.READ_BILLS)
        if book.settings.last() is None:
            return door.show(NoKitchenPage(), door.reader(book, doing))
        today = today_of(book, doing.at)
    return RedirectResponse(month_address(today), 303)


@router.get(ONE)
def of_month(door: AtDoor, month: Month, lines: Yes = "") -> Response:
    """lines: each invoice with its lines, to print them all."""
    return _shown(door, _month(month), lines=bool(lines))


@router.get(f"{ONE}/csv")
def as_csv(door: AtDoor, month: Month) -> Response:
    found = _found(door, _month(month))
    return _file(found, f"invoices-{found.month:%Y-%m}")


@router.get(f"{ONE}/{{grower_id}}")
def of_grower(door: AtDoor, month: Month, grower_id: GrowerId) -> Response:
    return _shown(door, _month(month), grower_id=grower_id)


@router.get(f"{ONE}/{{grower_id}}/csv")
def of_grower_as_csv(door: AtDoor, month: Month, grower_id: GrowerId) -> Response:
    found = _found(door, _month(month)).of(grower_id)
    return _file(found, f"invoice-{grower_id}-{found.month:%Y-%m}")


def _shown(door: Visit, month: date, *, lines: bool = False, grower_id: str = "") -> Response:
    with door.reading() as (book, doing):
        found, reader = months_bills(book, doing, month), door.reader(book, doing)
        today = today_of(book, doing.at)
    page = invoices_page(
        found.of(grower_id) if grower_id else found,
        reader.reading,
        kitchen=reader.kitchen,
        today=today,
        lines=lines,
        alone=bool(grower_id),
    )
    return door.show(page, reader)


def _found(door: Visit, month: date) -> MonthsBills:
    with door.reading() as (book, doing):
        return months_bills(book, doing, month)


def _file(found: MonthsBills, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}.csv"'}
    text = csv_text(lines_table(found.invoices)).encode()
    return Response(text, media_type="text/csv; charset=utf-8", headers=headers)


def _month(text: str) -> date:
    """ "2026-08"; BadInput for anything else."""
    try:
        found = datetime.strptime(text, "%Y-%m").replace(tzinfo=UTC).date()
    except ValueError:
        found = date.min
    if not FIRST_YEAR <= found.year < LAST_YEAR:
        told = f"{text!r} is no month; write it like 2026-08"
        raise BadInput((InputFault("invoices", None, "month", told),))
    return found
