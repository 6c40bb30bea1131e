"""Puts a page's value into its template, worded as its reader reads."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from scheduler.day_sheet.sheet import LotLabel
from scheduler.wording import clock, clock_from
from web.languages import catalogue
from web.views.page import Page
from web.views.reader import Notice, Reader
from web.views.reading import Reading

NO_BREAK = "\N{NO-BREAK SPACE}"
TEMPLATES = Path(__file__).parent.parent / "templates"
WORDED = ("number", "weight", "temperature", "percent", "day", "short_day", "moment", "duration",
          "listed")  # fmt: skip  # filters of the same name as what a Reading does


def lots(labels: Iterable[LotLabel]) -> str:
    """ "R16 beet, Dunmarrow Bank; R12 green bean, Tarrick Rise"."""
    return "; ".join(f"{each.code} {each.crop}, {each.farm}" for each in labels)


def unbroken(amounts: str) -> str:
    """Amounts between commas, each kept on one line."""
    return ", ".join(each.replace(" ", NO_BREAK) for each in amounts.split(", "))


@lru_cache(maxsize=32)
def press(reading: Reading) -> Environment:
    """The templates, set up for one way of reading."""
    found = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    said = catalogue(reading.language)
    found.install_gettext_callables(  # type: ignore[attr-defined] # the extension brings it
        said.gettext, said.ngettext, newstyle=True
    )
    found.filters |= {"clock": clock, "clock_from": clock_from, "lots": lots, "unbroken": unbroken}
    found.filters |= {name: getattr(reading, name) for name in WORDED}
    found.globals |= {"reading": reading}
    return found


def print_page(
    page: Page,
    status: int = 200,
    *,
    reader: Reader | None = None,
    reading: Reading | None = None,
    notice: Notice | None = None,
) -> HTMLResponse:
    """The page as HTML, for nobody but who asked.

    reader: who that is; reading: how she reads, where nobody knows who she is.
    """
    how = reader.reading if reader else reading or Reading()
    template = press(how).get_template(page.template)
    html = template.render(page=page, reader=reader, notice=notice)
    return HTMLResponse(html, status, {"Cache-Control": "private, no-cache"})
