"""The keyholder's whole job on a telephone, script on and off: from log-in to a dryer up again."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import House


@pytest.fixture(params=[True, False], ids=["script-on", "script-off"])
def nell(chromium: Browser, house: House, request: pytest.FixtureRequest) -> Iterator[Page]:
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, java_script_enabled=request.param
    )
    house.enters(context, "on_call")
    page = context.new_page()
    page.goto(house.address)
    yield page
    context.close()


def test_a_dryer_goes_down_and_comes_up(nell: Page):
    assert nell.locator(".calls a").first.get_attribute("href") == "tel:5550100"
    nell.get_by_role("button", name="Down D3").click()
    assert nell.locator("h1").inner_text() == "D3 Cart dryer is down"
    assert "isolator" in nell.locator(".decide").inner_text()
    assert nell.locator(".calls a").count() == 3
    nell.get_by_role("button", name="Up").click()
    assert nell.get_by_role("button", name="Down D3").is_visible()
