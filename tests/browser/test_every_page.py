"""Every page of the list, on phone and desk, light and dark, narrow, enlarged, by keyboard.

Each is opened once, and stays open for all that is asked of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from axe_playwright_python.base import AXE_SCRIPT, AxeResults
from playwright.sync_api import Browser, Page

from tests.browser.conftest import House
from tests.browser.pages import PAGES

PHONE, DESK, NARROW = (390, 844), (1280, 900), (320, 700)
RENDERINGS: dict[str, dict[str, Any]] = {
    "phone-light": {"size": PHONE, "color_scheme": "light"},
    "phone-dark": {"size": PHONE, "color_scheme": "dark"},
    "desk-light": {"size": DESK, "color_scheme": "light"},
    "desk-dark": {"size": DESK, "color_scheme": "dark"},
}
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
ROOT = "document.documentElement.style"
TWICE = f"{ROOT}.setProperty('font-size', '200%', 'important')"
TOO_SMALL = """
[...document.querySelectorAll("main button, main input:not([type=hidden]), main select,"
    + " main textarea, .frame a")]
  .filter(each => each.checkVisibility() && each.getClientRects().length
    && Math.max(each.getBoundingClientRect().height, each.closest("label")?.offsetHeight ?? 0) < 24)
  .map(each => each.outerHTML)
"""
FOCUSED = """
window.focused = [];
addEventListener("focusin", ({ target }) =>
  window.focused.push([getComputedStyle(target).outlineStyle, target.outerHTML]));
"""


@dataclass(frozen=True, slots=True)
class Sight:
    """A page that is open, and what its console said while it opened."""

    page: Page
    told: tuple[str, ...]

    def seen_as(self, *, size: tuple[int, int], color_scheme: Any = "light") -> Page:
        self.page.set_viewport_size({"width": size[0], "height": size[1]})
        self.page.emulate_media(color_scheme=color_scheme)
        return self.page


@pytest.fixture(scope="module", params=PAGES, ids=str)
def sight(request: pytest.FixtureRequest, chromium: Browser, house: House) -> Iterator[Sight]:
    told: list[str] = []
    context = chromium.new_context(viewport={"width": DESK[0], "height": DESK[1]})
    house.enters(context, request.param.by)
    page = context.new_page()
    page.on("console", lambda message: told.append(message.text))
    page.on("pageerror", lambda error: told.append(str(error)))
    page.goto(house.address + request.param.path)
    yield Sight(page, tuple(told))
    context.close()


def test_nothing_is_refused_or_missing(sight: Sight):
    assert [each for each in sight.told if "404" not in each] == []


def test_focus_can_be_seen_wherever_the_keyboard_goes(sight: Sight):
    page = sight.seen_as(size=DESK)
    page.evaluate(FOCUSED)
    for _ in range(12):
        page.keyboard.press("Tab")
    focused = page.evaluate("window.focused")
    assert focused
    assert [each for style, each in focused if style != "solid"] == []


@pytest.mark.parametrize("rendering", RENDERINGS)
def test_axe_finds_no_violation(sight: Sight, rendering: str):
    page = sight.seen_as(**RENDERINGS[rendering])
    if page.evaluate("typeof axe") == "undefined":
        page.evaluate(AXE_SCRIPT)
    found = AxeResults(page.evaluate("axe.run({ resultTypes: ['violations'] })"))
    assert found.violations_count == 0, found.generate_report()


def test_nothing_scrolls_sideways_at_320_pixels(sight: Sight):
    assert sight.seen_as(size=NARROW).evaluate(SIDEWAYS) <= 0


def test_nothing_scrolls_sideways_at_a_desk_enlarged_twice(sight: Sight):
    """As the browser enlarges: half the pixels, each twice as large (WCAG 2.2, 1.4.4)."""
    page = sight.seen_as(size=DESK)
    session = page.context.new_cdp_session(page)
    half = {"width": DESK[0] // 2, "height": DESK[1] // 2}
    how = {**half, "deviceScaleFactor": 2, "mobile": False}
    session.send("Emulation.setDeviceMetricsOverride", how)
    try:
        assert page.evaluate("[innerWidth, devicePixelRatio]") == [half["width"], 2]
        assert page.evaluate(SIDEWAYS) <= 0
    finally:
        session.detach()  # and with it what it overrode
        sight.seen_as(size=NARROW)


def test_nothing_scrolls_sideways_on_a_phone_with_text_twice_as_large(sight: Sight):
    page = sight.seen_as(size=PHONE)
    page.evaluate(TWICE)
    try:
        assert page.evaluate(SIDEWAYS) <= 0
    finally:
        page.evaluate(f"{ROOT}.removeProperty('font-size')")


def test_what_is_pressed_is_large_enough_for_a_thumb(sight: Sight):
    """24 by 24 pixels at least (WCAG 2.2, 2.5.8), here asked of all that is pressed in a form."""
    assert sight.seen_as(size=PHONE).evaluate(TOO_SMALL) == []
