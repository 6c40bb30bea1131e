"""Suppose from the form to who gains and loses, with a script and without; invoices with lines."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.answer.posted import posted
from tests.browser.conftest import House, end_supposed, served
from tests.browser.test_every_page import NARROW, RENDERINGS, SIDEWAYS
from tests.browser.test_looks import sheets_of_paper
from tests.dried import out_of_the_dryer
from tests.served import AUGUST, WEEK, opened
from tests.site import KEY
from web.app import create_site

AFTER = datetime.fromisoformat("2026-08-24T10:00:00-04:00")


def number_of(page: Page) -> int:
    return int(page.url.rsplit("/", 1)[-1])


@pytest.mark.parametrize("script", [True, False])
def test_from_the_form_to_who_gains_and_loses(chromium: Browser, house: House, script: bool):
    context = chromium.new_context(java_script_enabled=script)
    house.enters(context, "manager")
    page = context.new_page()
    page.goto(house.address + "/")
    page.get_by_role("link", name="Suppose").click()
    page.get_by_role("link", name="One more kitchen hand", exact=True).click()
    page.get_by_role("button", name="Suppose").click()
    expect(page.get_by_text("it waits for a worker")).to_be_visible()
    end_supposed(house.kitchen, number_of(page))
    if not script:
        page.get_by_role("link", name="Look again").click()
    expect(page.get_by_role("heading", name="Who gains, who loses")).to_be_visible()
    expect(page.get_by_role("status")).to_contain_text("prepared")
    assert page.get_by_role("button", name="Post").count() == 0
    context.close()


@pytest.fixture(scope="module")
def billed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """Two growers owe something for August."""
    folder = tmp_path_factory.mktemp("billed")
    with (
        opened(folder, create_site, key=KEY) as kitchen,
        served(kitchen.by["manager"].app) as address,
    ):
        number, note = kitchen.laid_out(posted(AUGUST)), AUGUST.note("R02")
        weighed = {"note_id": note.id, "weighed_kg": note.field_g / 1000}
        for path, body in ((f"weeks/{WEEK}/post", {"plan": number}), ("lots", weighed)):
            headers = kitchen.by["manager"].headers
            url = f"{address}/api/v1/{path}"
            httpx.post(url, json=body, headers=headers).raise_for_status()
        out_of_the_dryer(kitchen)
        kitchen.now[0] = AFTER
        yield House(address, kitchen)


@pytest.fixture
def invoices(chromium: Browser, billed: House) -> Any:
    contexts = []

    def open_(path: str, **how: Any) -> Page:
        context = chromium.new_context(bypass_csp=True, **how)
        contexts.append(context)
        billed.enters(context, "manager")
        page = context.new_page()
        page.goto(f"{billed.address}/invoices/2026-08{path}")
        return page

    yield open_
    for each in contexts:
        each.close()


@pytest.mark.parametrize("path", ["", "?lines=yes"])
@pytest.mark.parametrize("rendering", RENDERINGS)
def test_axe_finds_no_violation_in_invoices(invoices: Any, rendering: str, path: str):
    how = dict(RENDERINGS[rendering])
    width, height = how.pop("size")
    page = invoices(path, viewport={"width": width, "height": height}, **how)
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("path", ["", "?lines=yes"])
def test_invoices_do_not_scroll_sideways(invoices: Any, path: str):
    page = invoices(path, viewport={"width": NARROW[0], "height": NARROW[1]})
    assert page.evaluate(SIDEWAYS) <= 0


def test_a_line_leads_to_its_lot_and_each_invoice_has_its_own_sheet(invoices: Any):
    page = invoices("?lines=yes")
    count = page.locator(".invoice").count()
    assert count >= 2
    assert sheets_of_paper(page, "A4") == count
    page.locator(".invoice").first.get_by_role("link").first.click()
    expect(page.get_by_text("weighed in").first).to_be_visible()
    assert WEEK in page.content()
