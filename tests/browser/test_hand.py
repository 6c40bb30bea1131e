"""A kitchen hand's whole job on one lot in Chromium, from log-in to bags, script on and off."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from api.services.passwords import hashed
from api.services.people import set_password
from tests.book import HAND, doing
from tests.browser.conftest import SLOW_MS, House
from tests.dried import monday

PASSWORD = "warm racks, cool store"
LOTS = {True: ("R06", "110"), False: ("R05", "8")}  # script on, off: lot, kg at the door


@pytest.fixture(scope="module", autouse=True)
def with_a_password(house: House) -> None:
    with house.kitchen.shelf.writing() as book:
        set_password(book, doing(HAND), was=None, password_hash=hashed(PASSWORD))


@pytest.fixture(params=[True, False], ids=["script on", "script off"])
def script(request: pytest.FixtureRequest) -> bool:
    return bool(request.param)


@pytest.fixture
def phone(chromium: Browser, house: House, script: bool) -> Iterator[Page]:
    house.kitchen.now[0] = monday("08:05")
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, java_script_enabled=script, locale="en-GB"
    )
    context.set_default_timeout(SLOW_MS)
    page = context.new_page()
    page.goto(house.address)
    yield page
    context.close()


class Day:
    """The lines of a lot on the page, each found by its act."""

    def __init__(self, page: Page, house: House, lot: str) -> None:
        self.page, self.house, self.lot = page, house, lot

    def comes(self, at: datetime) -> None:
        self.house.kitchen.now[0] = at
        self.page.goto(f"{self.house.address}/tick-off/{at:%Y-%m-%d}")

    def line(self, act: str) -> Locator:
        return self.page.locator(f"li[id^='line-{act}-{self.lot}-']").first

    def opens(self, act: str, opening: str, said: dict[str, str]) -> None:
        """Opens the form of that line, fills it in and presses its button."""
        opened = self.line(act).locator("details").filter(has_text=re.compile(f"^\\s*{opening} "))
        opened.locator("summary").click()
        for label, value in said.items():
            opened.get_by_label(label).fill(value)
        opened.locator("form button").click()

    def is_done(self, act: str, told: str) -> None:
        expect(self.line(act)).to_contain_text(f"Done: Sal Orrin, {told}")


def test_from_log_in_to_bags(phone: Page, house: House, script: bool):
    lot, kilos = LOTS[script]
    day = Day(phone, house, lot)
    enters(phone)
    expect(phone.locator("h1")).to_have_text("Monday 17 August")

    day.opens("weigh-in", "Weigh in", {"True weight": kilos})
    day.is_done("weigh-in", f"08:05. {kilos} kg, lot 26-229-")
    expect(day.line("weigh-in")).to_contain_text("racks planned are right for it")
    day.line("wash").get_by_role("button", name=re.compile("^Done")).click()
    day.is_done("wash", "08:05")
    baskets = day.line("steam").get_by_role("button", name=re.compile("^Done"))
    for left in range(baskets.count(), 0, -1):
        expect(baskets).to_have_count(left)
        baskets.first.click()
    expect(baskets).to_have_count(0)

    day.comes(monday("16:00"))
    day.opens("start", "Start", {"When": "15:45"})
    day.is_done("start", "15:45")
    day.comes(monday("08:30") + timedelta(days=1))
    enters(phone)  # a session lasts a kitchen's day
    day.opens("unload", "Unload", {})
    day.is_done("unload", "08:30")
    reads_and_passes(phone, day)
    phone.goto(f"{house.address}/tick-off/2026-08-18")
    day.opens("pack", "Pack", {"Bags": "15"})
    day.is_done("pack", "08:30. 15 bags")


def enters(phone: Page) -> None:
    phone.get_by_label("Log-in name").fill("sal")
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="Log in").click()


def reads_and_passes(phone: Page, day: Day) -> None:
    day.line("dry-check").get_by_role("link", name="Dry check").click()
    for each in phone.locator("input[name^=activity-]:not([name$=other])").all():
        each.fill("0.5")
    for each in phone.locator("input[name^=moisture-]:not([name$=other])").all():
        each.fill("9")
    phone.get_by_label("Pass").check()
    phone.get_by_role("button", name="Keep the decision").click()
    expect(phone.locator(".outcome").first).to_contain_text("Passed by Sal Orrin")
