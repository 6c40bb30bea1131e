"""Every page of the list, on phone and desk, light and dark, narrow, enlarged, by keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.conftest import House
from tests.browser.pages import PAGES, Seen

PHONE, DESK, NARROW = (390, 844), (1280, 900), (320, 700)
RENDERINGS = {
    "phone-light": {"size": PHONE, "color_scheme": "light"},
    "phone-dark": {"size": PHONE, "color_scheme": "dark"},
    "desk-light": {"size": DESK, "color_scheme": "light"},
    "desk-dark": {"size": DESK, "color_scheme": "dark"},
}
every_page = pytest.mark.parametrize("seen", PAGES, ids=str)
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
TARGETS = "main button, main input:not([type=hidden]), main select, main textarea, .frame a"


@pytest.fixture
def visit(chromium: Browser, house: House) -> Any:
    """Opens a page of the list in a browser of its own."""

    @contextmanager
    def opened(seen: Seen, size: tuple[int, int] = DESK, **how: Any) -> Iterator[Page]:
        viewport = {"width": size[0], "height": size[1]}
        context = chromium.new_context(viewport=viewport, **how)  # type: ignore[arg-type]
        house.enters(context, seen.by)
        page = context.new_page()
        page.goto(house.address + seen.path)
        yield page
        context.close()

    return opened


@every_page
@pytest.mark.parametrize("rendering", RENDERINGS)
def test_axe_finds_no_violation(visit: Any, seen: Seen, rendering: str):
    with visit(seen, bypass_csp=True, **RENDERINGS[rendering]) as page:
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


@every_page
def test_nothing_scrolls_sideways_at_320_pixels(visit: Any, seen: Seen):
    with visit(seen, NARROW) as page:
        assert page.evaluate(SIDEWAYS) <= 0


@every_page
def test_nothing_scrolls_sideways_at_a_desk_enlarged_twice(visit: Any, seen: Seen):
    """As the browser enlarges: half the pixels, each twice as large (WCAG 2.2, 1.4.4)."""
    with visit(seen, (DESK[0] // 2, DESK[1] // 2), device_scale_factor=2) as page:
        assert page.evaluate(SIDEWAYS) <= 0


@every_page
def test_nothing_scrolls_sideways_on_a_phone_with_text_twice_as_large(visit: Any, seen: Seen):
    with visit(seen, PHONE, bypass_csp=True) as page:
        page.add_style_tag(content="html { font-size: 200% !important; }")
        assert page.evaluate(SIDEWAYS) <= 0


@every_page
def test_nothing_is_refused_or_missing(visit: Any, seen: Seen):
    told: list[str] = []
    with visit(seen) as page:
        page.on("console", lambda message: told.append(message.text))
        page.on("pageerror", lambda error: told.append(str(error)))
        page.reload()
    assert [each for each in told if "404" not in each] == []


@every_page
def test_what_is_pressed_is_large_enough_for_a_thumb(visit: Any, seen: Seen):
    """24 by 24 pixels at least (WCAG 2.2, 2.5.8), here asked of all that is pressed in a form."""
    with visit(seen, PHONE) as page:
        for each in page.locator(TARGETS).all():
            box = each.bounding_box()
            if box is not None and each.evaluate("each => each.checkVisibility()"):
                label = each.evaluate("each => each.closest('label')?.offsetHeight ?? 0")
                assert max(box["height"], label) >= 24, each.evaluate("each => each.outerHTML")


@every_page
def test_focus_can_be_seen_wherever_the_keyboard_goes(visit: Any, seen: Seen):
    with visit(seen) as page:
        for _ in range(12):
            page.keyboard.press("Tab")
            style = page.evaluate(
                "document.activeElement === document.body"
                " ? 'solid' : getComputedStyle(document.activeElement).outlineStyle"
            )
            assert style == "solid", page.evaluate("document.activeElement.outerHTML")
