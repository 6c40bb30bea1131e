"""Dry check in Chromium: counted, held, read again, packed; and with the connection cut."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SLOW_MS, House, house_in, leave
from tests.browser.test_every_page import NARROW, RENDERINGS, SIDEWAYS
from tests.dried import monday, out_of_the_dryer


@pytest.fixture(scope="module")
def path(house: House) -> str:
    return dried_in(house)


def dried_in(house: House) -> str:
    """Where a lot of that house is checked."""
    house.kitchen.now[0] = monday("19:30")
    code, run = out_of_the_dryer(house.kitchen)
    return f"/dry-checks/{code}/{run}"


@pytest.fixture(params=[True, False], ids=["script on", "script off"])
def phone(request: pytest.FixtureRequest, chromium: Browser, tmp_path: Path) -> Iterator[Page]:
    """In a house of its own: a lot that was held twice is the manager's."""
    with house_in(tmp_path) as house:
        yield from _phone(request.param, chromium, house)


def _phone(script: bool, chromium: Browser, house: House) -> Iterator[Page]:
    context = chromium.new_context(
        viewport={"width": 390, "height": 844},
        java_script_enabled=script,
        locale="en-GB",
    )
    context.set_default_timeout(SLOW_MS)
    house.enters(context, "hand")
    page = context.new_page()
    page.goto(house.address + dried_in(house))
    yield page
    context.close()


def writes(page: Page, activity: str) -> None:
    """The same on every rack that was drawn."""
    for each in page.locator("input[name^=activity-]:not([name$=other])").all():
        each.fill(activity)
    for each in page.locator("input[name^=moisture-]:not([name$=other])").all():
        each.fill("9")


def decides(page: Page, decision: str) -> None:
    page.get_by_label(decision).check()
    page.get_by_role("button", name="Keep the decision").click()


def test_the_worst_decides_and_a_person_holds_or_passes(phone: Page):
    writes(phone, "0.5")
    phone.get_by_label("Rack 18: water activity").fill("0,561")
    phone.get_by_role("button", name="Count the readings").click()
    outcome = phone.locator(".outcome", has_text="speak for holding")
    expect(outcome).to_contain_text("Highest water activity: rack 18, 0.561 (at most 0.54)")
    decides(phone, "Pass")
    expect(phone.get_by_role("alert").first).to_contain_text("cannot be to pass")
    expect(phone.get_by_label("Rack 18: water activity")).to_have_value("0,561")
    decides(phone, "Hold")
    expect(phone.locator(".outcome").first).to_contain_text("Held by Sal Orrin")
    expect(phone.locator("main")).to_contain_text("Keep it closed and marked as held")
    phone.get_by_role("link", name="All dry checks that are due").click()
    phone.get_by_role("link", name="Dry check 26-229").click()
    writes(phone, "0.5")
    decides(phone, "Pass")
    expect(phone.locator(".outcome").first).to_contain_text("Passed by Sal Orrin")
    expect(phone.locator("main")).to_contain_text("It can be packed: by")


def test_readings_outlast_a_cut_line(chromium: Browser, house: House, path: str):
    context = chromium.new_context(locale="en-GB")
    context.set_default_timeout(SLOW_MS)
    house.enters(context, "hand")
    page = context.new_page()
    page.goto(house.address + path)
    with house.kitchen.shelf.reading() as book:
        before = len(book.happenings.where(kind="dry check"))
    writes(page, "0.51")
    context.set_offline(True)
    decides(page, "Hold")
    expect(page.locator("#kept")).to_contain_text("Not sent yet: 1")
    context.set_offline(False)
    expect(page.locator(".outcome").first).to_contain_text("rack 1, 0.51 (at most 0.54)")
    expect(page.locator("#kept")).to_be_hidden()
    with house.kitchen.shelf.reading() as book:
        assert len(book.happenings.where(kind="dry check")) == before + 1
    context.close()


def test_what_is_refused_on_another_day_is_not_lost(chromium: Browser, house: House, path: str):
    """Kept while cut off, the page closed and opened again: the form there is empty."""
    context = chromium.new_context(locale="en-GB")
    context.set_default_timeout(SLOW_MS)
    house.enters(context, "hand")
    page = context.new_page()
    page.goto(house.address + path)
    writes(page, "0.52")
    context.set_offline(True)
    page.get_by_role("button", name="Keep the decision").click()
    expect(page.locator("#kept")).to_contain_text("Not sent yet: 1")
    leave(page)
    context.set_offline(False)
    page = context.new_page()
    page.goto(house.address + path)
    told = page.locator("#refused")
    expect(told).to_contain_text("must be chosen")
    expect(told).to_contain_text("Rack 1: water activity 0.52; Rack 1: moisture 9")
    expect(page.get_by_label("Rack 1: water activity")).to_be_visible()
    told.get_by_role("button", name="Put it aside").click()
    expect(told).to_be_hidden()
    assert page.evaluate("localStorage.length") == 0
    context.close()


@pytest.mark.parametrize("rendering", RENDERINGS)
def test_axe_finds_no_violation(chromium: Browser, house: House, path: str, rendering: str):
    how: Any = RENDERINGS[rendering]
    width, height = how["size"]
    context = chromium.new_context(
        viewport={"width": width, "height": height},
        color_scheme=how["color_scheme"],
        bypass_csp=True,
    )
    house.enters(context, "hand")
    page = context.new_page()
    for each in (path, "/dry-checks"):
        page.goto(house.address + each)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    context.close()


def test_it_stands_on_a_narrow_phone(chromium: Browser, house: House, path: str):
    context = chromium.new_context(viewport={"width": NARROW[0], "height": NARROW[1]})
    house.enters(context, "hand")
    page = context.new_page()
    for each in (path, "/dry-checks"):
        page.goto(house.address + each)
        assert page.evaluate(SIDEWAYS) <= 0
    context.close()
