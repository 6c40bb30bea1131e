"""The keyholder's whole job on a telephone, script on and off: from log-in to a dryer up again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.answer.posted import posted
from tests.browser.conftest import House, served
from tests.browser.test_every_page import NARROW, RENDERINGS, SIDEWAYS
from tests.served import AUGUST, WEEK, opened
from tests.site import KEY
from web.app import create_site

LATE = datetime(2026, 8, 19, 2, 10, tzinfo=UTC)  # 22:10 on Tuesday


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """The posted week at 22:10 on its Tuesday."""
    with opened(tmp_path_factory.mktemp("house"), create_site, key=KEY) as kitchen:
        number = kitchen.laid_out(posted(AUGUST))
        manager = kitchen.by["manager"]
        with served(manager.app) as address:
            post = f"{address}/api/v1/weeks/{WEEK}/post"
            httpx.post(post, json={"plan": number}, headers=manager.headers).raise_for_status()
            kitchen.now[0] = LATE
            yield House(address, kitchen)


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
    assert nell.locator(".calls a").first.get_attribute("href") == "tel:5550101"
    nell.get_by_role("button", name="Down D3").click()
    assert nell.locator("h1").inner_text() == "D3 Cart dryer is down"
    assert "isolator" in nell.locator(".decide").inner_text()
    assert nell.locator(".calls a").count() == 3
    assert "Ask the manager by" in nell.locator(".lots").first.inner_text()
    nell.get_by_role("button", name="Up").click()
    assert nell.get_by_role("button", name="Down D3").is_visible()


def test_by_keyboard_alone(chromium: Browser, house: House):
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    house.enters(context, "on_call")
    page = context.new_page()
    page.goto(house.address)
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.innerText").startswith("Down"):
            break
    page.keyboard.press("Enter")
    page.wait_for_url("**/stopped/*")
    assert page.locator("h1").inner_text().startswith("D1 ")
    page.get_by_role("button", name="It was a mistake").press("Enter")
    page.wait_for_url("**/night-sheet")
    context.close()


@pytest.mark.parametrize("rendering", RENDERINGS)
def test_axe_finds_no_violation_on_a_night_with_a_stop(
    chromium: Browser, house: House, rendering: str
):
    number = stopped(house)
    for path in ("/night-sheet", f"/night-sheet/stopped/{number}"):
        how: dict[str, Any] = dict(RENDERINGS[rendering])
        width, height = how.pop("size")
        context = chromium.new_context(
            viewport={"width": width, "height": height}, bypass_csp=True, **how
        )
        house.enters(context, "on_call")
        page = context.new_page()
        page.goto(house.address + path)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
        page.set_viewport_size({"width": NARROW[0], "height": NARROW[1]})
        assert page.evaluate(SIDEWAYS) <= 0
        context.close()


def stopped(house: House) -> int:
    """The number of D2's stop."""
    headers = house.kitchen.by["hand"].headers
    where = f"{house.address}/api/v1/outages"
    httpx.post(where, json={"station_id": "D2"}, headers=headers)
    found = httpx.get(where, params={"still_down": True}, headers=headers).json()
    return next(int(each["number"]) for each in found if each["station_id"] == "D2")
