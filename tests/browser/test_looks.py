"""The pages as people meet them: phone and desk, light and dark, keyboard, paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import pytest
from playwright.sync_api import Browser, Page

from api.records.plans import KeptPlan
from api.services.plans import KeptSheet
from scheduler.day_sheet import day_sheet
from scheduler.scenario import load
from tests.browser.conftest import House
from tests.shelves import FRIDAY
from tests.worked_day import worked_day
from web.pages.paper import print_page
from web.views.day_sheet import day_sheet_page
from web.views.reading import Reading

PHONE, DESK = (320, 700), (1380, 900)
PAGES = ("/weeks/2026-W33", "/day-sheets/2026-08-18")


@pytest.fixture
def desk(chromium: Browser) -> Iterator[Page]:
    """A desk in daylight, the site's own policy in force."""
    context = chromium.new_context(viewport={"width": DESK[0], "height": DESK[1]})
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("width", [PHONE[0], DESK[0]])
def test_strips_stand_on_a_desk_and_give_way_on_a_phone(desk: Page, address: str, width: int):
    desk.set_viewport_size({"width": width, "height": 700})
    desk.goto(address + PAGES[0])
    assert desk.locator(".strips").is_visible() == (width > PHONE[0])
    assert desk.locator(".runs").is_visible()


def test_the_keyboard_reaches_the_sheet_first(desk: Page, address: str):
    desk.goto(address + PAGES[1])
    desk.keyboard.press("Tab")
    skip = desk.locator(".skip")
    assert skip.evaluate("each => each === document.activeElement")
    box = skip.bounding_box()
    assert box is not None
    assert box["y"] >= 0
    desk.keyboard.press("Enter")
    assert desk.locator("#sheet").evaluate("each => each === document.activeElement")
    desk.keyboard.press("Tab")
    focus = "getComputedStyle(document.activeElement).outlineStyle"
    assert desk.evaluate(focus) == "solid"


def sheets_of_paper(page: Page, paper: str) -> int:
    printed = page.pdf(format=paper, prefer_css_page_size=False)
    return len(re.findall(rb"/Type\s*/Page\b", printed))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_tuesday_fits_two_sheets(desk: Page, address: str, paper: str):
    desk.goto(address + PAGES[1])
    assert sheets_of_paper(desk, paper) <= 2


@pytest.mark.parametrize("path", ["/weeks/2026-W34", "/day-sheets/2026-08-18"])
def test_a_week_laid_out_and_its_tuesday_fit_two_sheets_each(
    chromium: Browser, house: House, path: str
):
    context = chromium.new_context()
    house.enters(context, "manager")
    page = context.new_page()
    page.goto(house.address + path)
    assert sheets_of_paper(page, "A4") <= 2
    context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_tuesday_of_56_lines_fits_two_sheets(desk: Page, address: str, paper: str):
    desk.goto(address + PAGES[1])
    desk.set_content(crowded_day().replace('href="/static', f'href="{address}/static'))
    desk.wait_for_function("getComputedStyle(document.body).fontSize === '16px'")
    assert desk.locator(".lines tbody tr").count() == 56
    assert sheets_of_paper(desk, paper) <= 2


def crowded_day() -> str:
    """The day made by hand, with every line of it as often as a busy day has."""
    august = load("august")
    plan = worked_day(august)
    sheet = day_sheet(august, plan, date(2026, 8, 18))
    lines = tuple(
        replace(line, at=line.at + timedelta(minutes=5 * turn))
        for turn in range(4)
        for line in sheet.lines
    )
    kept = KeptPlan(7, FRIDAY, "pencilled", august, plan)
    page = day_sheet_page(KeptSheet(replace(sheet, lines=lines[:56]), kept), Reading())
    return bytes(print_page(page).body).decode()


def test_on_paper_there_is_only_ink(desk: Page, address: str):
    desk.emulate_media(media="print")
    desk.goto(address + PAGES[1])
    colours = desk.evaluate(
        "[...document.querySelectorAll('main *')].map(each => getComputedStyle(each).color)"
    )
    for colour in set(colours):
        red, green, blue = (int(part) for part in re.findall(r"\d+", colour)[:3])
        assert red == green == blue, colour
    assert not desk.locator(".days").is_visible()
