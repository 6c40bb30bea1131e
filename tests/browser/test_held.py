"""A failed dry check in Chromium: from the reading to the grower's text, on a phone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SLOW_MS, House
from tests.browser.test_dry_check import decides, writes
from tests.browser.test_every_page import NARROW, RENDERINGS, SIDEWAYS
from tests.dried import monday, out_of_the_dryer


@pytest.fixture(scope="module")
def path(house: House) -> str:
    house.kitchen.now[0] = monday("18:40")
    code, run = out_of_the_dryer(house.kitchen)
    return f"/dry-checks/{code}/{run}"


@pytest.fixture
def phone(chromium: Browser, house: House) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 390, "height": 844}, locale="en-GB")
    context.set_default_timeout(SLOW_MS)
    house.enters(context, "hand")
    yield context.new_page()
    context.close()


def test_from_the_reading_to_the_growers_text(
    phone: Page, chromium: Browser, house: House, path: str
):
    phone.goto(house.address + path)
    writes(phone, "0.62")
    for each in phone.locator("input[name^=moisture-]:not([name$=other])").all():
        each.fill("14")
    decides(phone, "Hold")
    phone.get_by_role("link", name="What is done with it").click()
    expect(phone.locator("main")).to_contain_text("From its worst readings it needs about")
    looks_well(phone, chromium, house, phone.url)
    phone.get_by_role("button", name="Close the record").click()
    expect(phone.get_by_role("alert")).to_contain_text("must be filled in before the record")
    phone.get_by_role("button", name="Back to dryer D2").click()
    expect(phone.locator("main")).to_contain_text("its grower is told")
    for label, text in (
        ("What happened", "two racks over the limit"), ("Cause", "laid too thick"),
        ("What was done with it", "back to D2, to be read again"),
        ("Who did it", "Sal Orrin"), ("Who looked whether it is right", "Lotte Amberry"),
    ):  # fmt: skip
        phone.get_by_label(label).fill(text)
    phone.get_by_role("button", name="Close the record").click()
    expect(phone.locator("main")).to_contain_text("The record is closed.")
    expect(phone.locator("main")).to_contain_text("laid too thick")
    with house.kitchen.shelf.reading() as book:
        text = book.messages.where(grower_id="G12")[-1].text
    assert "not dry enough yet at its dry check; it dries on until about" in text
    context = chromium.new_context(locale="en-GB")
    house.enters(context, "manager")
    outbox = context.new_page()
    outbox.goto(house.address + "/messages")
    expect(outbox.locator("main")).to_contain_text("not dry enough yet at its dry check")
    context.close()


def looks_well(phone: Page, chromium: Browser, house: House, url: str) -> None:
    """axe finds nothing, in light and dark; nothing stands out sideways on a narrow phone."""
    for how in RENDERINGS.values():
        seen: Any = how
        width, height = seen["size"]
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme=seen["color_scheme"],
            bypass_csp=True,
        )
        house.enters(context, "hand")
        page = context.new_page()
        page.goto(url)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
        page.set_viewport_size({"width": NARROW[0], "height": NARROW[1]})
        assert page.evaluate(SIDEWAYS) <= 0
        context.close()
