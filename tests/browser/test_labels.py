"""Rack labels on paper: ten to a sheet, on A4 and on Letter alike."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import House
from tests.browser.test_looks import sheets_of_paper


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_ten_labels_are_one_sheet(chromium: Browser, house: House, paper: str):
    context = chromium.new_context()
    house.enters(context, "hand")
    page = context.new_page()
    page.goto(f"{house.address}/day-sheets/2026-08-18/labels?each=rack")
    page.evaluate("for (const each of [...document.querySelectorAll('.labels li')].slice(10))"
                  " each.remove()")  # fmt: skip
    assert page.locator(".labels li").count() == 10
    assert sheets_of_paper(page, paper) == 1
    page.evaluate("const first = document.querySelector('.labels li');"
                  "first.after(first.cloneNode(true))")  # fmt: skip
    assert sheets_of_paper(page, paper) == 2
    context.close()
