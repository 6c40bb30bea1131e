"""The board's week on paper, and leafed through by keyboard."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import House
from tests.browser.test_looks import sheets_of_paper


@pytest.fixture
def bea(chromium: Browser, house: House) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    house.enters(context, "board")
    page = context.new_page()
    page.goto(house.address)
    yield page
    context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_week_fits_one_sheet(bea: Page, paper: str):
    assert bea.locator("h1").inner_text() == "Board paper"
    assert sheets_of_paper(bea, paper) == 1
