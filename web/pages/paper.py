"""Puts a page's value into its template."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from scheduler.day_sheet.sheet import LotLabel
from scheduler.wording import clock, clock_from, day_and_month, listed
from web.views.day_sheet import DaySheetPage
from web.views.plain import EmptyPage, LogInPage, NothingPage, ProblemPage, Reader
from web.views.week import WeekPage

Page = WeekPage | DaySheetPage | EmptyPage | NothingPage | LogInPage | ProblemPage
TEMPLATES = {
    WeekPage: "week.html",
    DaySheetPage: "day_sheet.html",
    EmptyPage: "empty.html",
    NothingPage: "nothing.html",
    LogInPage: "log_in.html",
    ProblemPage: "problem.html",
}


NO_BREAK = "\N{NO-BREAK SPACE}"


def lots(labels: Iterable[LotLabel]) -> str:
    """ "R16 beet, Dunmarrow Bank; R12 green bean, Tarrick Rise"."""
    return "; ".join(f"{each.code} {each.crop}, {each.farm}" for each in labels)


def unbroken(amounts: str) -> str:
    """Amounts between commas, each kept on one line."""
    return ", ".join(each.replace(" ", NO_BREAK) for each in amounts.split(", "))


_press = Environment(
    loader=FileSystemLoader(Path(__file__).parent.parent / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
_press.filters |= {
    "clock": clock,
    "clock_from": clock_from,
    "day_and_month": day_and_month,
    "listed": listed,
    "lots": lots,
    "unbroken": unbroken,
}


def print_page(page: Page, status: int = 200, *, reader: Reader | None = None) -> HTMLResponse:
    """The page as HTML, for nobody but who asked. reader: who that is, where she is told so."""
    template = _press.get_template(TEMPLATES[type(page)])
    headers = {"Cache-Control": "private, no-cache"}
    return HTMLResponse(template.render(page=page, reader=reader), status, headers)
