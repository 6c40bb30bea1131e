"""A grower's whole job in Chromium, from the door to her calendar, with script and without; and
what her link shows."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from api.services.passwords import hashed
from api.services.people import COMMAND_LINE, invite, set_password
from tests.book import GROWER, doing
from tests.browser.conftest import SLOW_MS, House

PASSWORD = "warm racks, cool store"
PHONE = {"width": 390, "height": 844}


@pytest.fixture(params=[True, False], ids=["script on", "script off"])
def phone(request: pytest.FixtureRequest, chromium: Browser, house: House) -> Iterator[Page]:
    """Her telephone, at the door."""
    context = chromium.new_context(
        viewport=PHONE,  # type: ignore[arg-type]
        java_script_enabled=request.param,
        locale="en-GB",
    )
    page = context.new_page()
    page.set_default_timeout(SLOW_MS)
    page.goto(house.address)
    yield page
    context.close()


@pytest.fixture(scope="module", autouse=True)
def with_a_password(house: House) -> None:
    with house.kitchen.shelf.writing() as book:
        set_password(book, doing(GROWER), was=None, password_hash=hashed(PASSWORD))


def enters(page: Page) -> None:
    page.get_by_label("Log-in name").fill("odile")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()


def tells(page: Page, weight: str) -> None:
    """The three questions, with the answer at once."""
    page.get_by_role("link", name="Tell us what's coming").first.click()
    page.get_by_label("Which crop?").select_option("tomato")
    page.get_by_label("Which day does it come?").fill("2026-08-25")
    page.get_by_label("How much").fill(weight)
    look = page.get_by_role("button", name="What would it be?")
    if look.is_visible():  # with script on it asks by itself
        look.click()
    expect(page.locator("#answer")).to_contain_text("It would fit")


def test_her_link_reads_without_a_password(phone: Page, house: House):
    with house.kitchen.shelf.writing() as book:
        secret = invite(book, doing(COMMAND_LINE), "odile").secret
    phone.goto(f"{house.address}/invited/{secret}")
    expect(phone.locator(".lots").first).to_contain_text("Bring it by Mon 17 Aug")
    phone.locator(".lots a").first.click()
    expect(phone.locator("main")).to_contain_text("Firm")
    expect(phone.get_by_role("link", name="Let it go")).to_have_count(0)
    phone.get_by_role("navigation").get_by_role("link", name="My lots").click()
    phone.get_by_role("link", name=re.compile("^Log in to tell us")).click()
    enters(phone)
    expect(phone.get_by_role("link", name="Tell us what's coming").first).to_be_visible()


def test_her_whole_job(phone: Page):
    enters(phone)
    expect(phone.get_by_role("heading", level=1)).to_have_text("My lots")
    expect(phone.locator(".lots").first).to_contain_text("Bring it by Mon 17 Aug")

    tells(phone, "20")
    expect(phone.locator("#answer")).to_contain_text("A bag must bring")
    phone.get_by_role("button", name="Tell the kitchen").click()
    expect(phone.get_by_role("status")).to_contain_text("The kitchen has it.")
    expect(phone.locator("h1")).to_have_text("tomato, 20 kg")
    phone.get_by_text(re.compile("^Price:")).click()
    expect(phone.get_by_text("fees of the kitchen")).to_be_visible()

    phone.get_by_role("link", name="Change it").click()
    phone.get_by_label("How much").fill("25")
    phone.get_by_role("button", name="Keep the change").click()
    expect(phone.locator("h1")).to_have_text("tomato, 25 kg")
    phone.get_by_role("button", name="Undo").click()
    expect(phone.locator("h1")).to_have_text("tomato, 20 kg")

    phone.get_by_role("link", name="Let it go").click()
    expect(phone.locator("main")).to_contain_text("It cannot be taken back.")
    phone.get_by_role("button", name="Let it go").click()
    expect(phone.get_by_role("status")).to_contain_text("Let go.")

    phone.get_by_role("link", name="My calendar").click()
    phone.get_by_role("button", name="Make a calendar link").click()
    expect(phone.locator("code")).to_contain_text("/api/v1/feeds/")
    phone.get_by_role("link", name="End it").first.click()
    phone.get_by_role("button", name="End it").click()
    expect(phone.get_by_role("status")).to_contain_text("The link has ended.")


def test_a_fault_is_told_where_the_keyboard_stands(phone: Page, house: House):
    house.enters(phone.context, "grower")  # past the door, which bears five tries
    phone.goto(house.address)
    phone.get_by_role("link", name="Tell us what's coming").first.click()
    phone.get_by_label("How much").fill("a lot")
    phone.get_by_role("button", name="Tell the kitchen").click()
    summary = phone.get_by_role("alert")
    expect(summary).to_contain_text("must be a number")
    expect(summary).to_be_focused()
    summary.get_by_role("link", name=re.compile("must be a number")).click()
    expect(phone.get_by_label("How much")).to_have_value("a lot")


def test_she_reads_why_there_is_no_room(phone: Page, house: House):
    house.enters(phone.context, "grower")  # past the door, which bears five tries
    phone.goto(house.address)
    phone.get_by_role("link", name="Tell us what's coming").first.click()
    phone.get_by_label("Which crop?").select_option("tomato")
    phone.get_by_label("Which day does it come?").fill("2026-08-20")
    phone.get_by_label("How much").fill("400")
    phone.get_by_role("button", name="Tell the kitchen").click()
    expect(phone.locator("main")).to_contain_text("No room for it, as things stand")
    phone.get_by_role("button", name="Take it back").click()
    expect(phone.get_by_role("status")).to_contain_text("Let go.")
