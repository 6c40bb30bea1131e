"""The day ticked off in Chromium: with script and without, and with the connection cut."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from api.records.happened import Happening
from api.services.day_to_tick import JUST_TICKED, key_of
from scheduler.day_sheet import day_sheet
from tests.answer.posted import posted
from tests.browser.conftest import SLOW_MS, House, leave
from tests.served import AUGUST
from web.views.tick_off import line_id

TUESDAY = date(2026, 8, 18)
PATH = f"/tick-off/{TUESDAY}"
PHONE = {"width": 390, "height": 844}
NOON = datetime.fromisoformat("2026-08-18T12:00-04:00")
SMALLEST = 48  # px, for gloved hands
BROKEN_OFF = """() => {
    const whole = window.fetch;
    window.fetch = async () => {
        window.fetch = whole;
        return { status: 409, text: () => Promise.reject(new TypeError("network error")) };
    };
}"""  # the next answer


@pytest.fixture(params=[True, False], ids=["script on", "script off"])
def script(request: pytest.FixtureRequest) -> bool:
    return bool(request.param)


def opened(chromium: Browser, house: House, *, script: bool = True) -> BrowserContext:
    house.kitchen.now[0] = NOON
    context = chromium.new_context(
        viewport=PHONE,  # type: ignore[arg-type]
        java_script_enabled=script,
        locale="en-GB",
    )
    context.set_default_timeout(SLOW_MS)
    house.enters(context, "hand")
    return context


@pytest.fixture
def context(chromium: Browser, house: House) -> Iterator[BrowserContext]:
    found = opened(chromium, house)
    yield found
    found.close()


@pytest.fixture
def phone(context: BrowserContext, house: House) -> Page:
    page = context.new_page()
    page.goto(house.address + PATH)
    return page


def plain() -> list[str]:
    """Lines of the day that are only ticked: wash, cut, chill, fill."""
    sheet = day_sheet(AUGUST, posted(AUGUST), TUESDAY)
    return [key_of(each) for each in sheet.lines if each.act in JUST_TICKED and not each.loads]


def press(page: Page, key: str) -> None:
    page.locator(f"#{line_id(key)}").get_by_role("button", name=re.compile("^Done")).click()


def ticked(house: House, *keys: str) -> list[Happening]:
    """What the book has of them, in its order; taken back is a tick too."""
    with house.kitchen.shelf.reading() as book:
        return [each for each in book.happenings.where(kind="ticked") if each.subject in keys]


def test_one_press_a_line_and_one_to_take_it_back(chromium: Browser, house: House, script: bool):
    context, wash = opened(chromium, house, script=script), plain()[10]
    page = context.new_page()
    page.goto(house.address)
    expect(page).to_have_url(f"{house.address}{PATH}")  # a hand begins with her day
    line = page.locator(f"#{line_id(wash)}")
    press(page, wash)
    expect(line).to_contain_text("Done: Sal Orrin, 12:00")
    line.get_by_role("button", name="Take back").click()
    expect(line).not_to_contain_text("Done: Sal")
    context.close()


def test_from_the_door_to_the_dryer(chromium: Browser, house: House, script: bool):
    """Each of the two takes a lot of its own: what is weighed in stays so."""
    context = opened(chromium, house, script=script)
    page = context.new_page()
    page.goto(house.address + PATH)
    line = page.locator("li", has=page.locator("summary", has_text="Weigh in")).first
    line.locator("summary").click()
    line.get_by_label("True weight").fill("a lot")
    line.get_by_role("button", name=re.compile("^Weighed in")).click()
    expect(page.locator("main")).to_contain_text("must be a number")
    page.goto(house.address + PATH)
    code = line.get_attribute("id")
    one = page.locator(f"#{code}")
    one.locator("summary").click()
    one.get_by_label("True weight").fill("415")
    one.get_by_role("button", name=re.compile("^Weighed in")).click()
    expect(page.locator("main")).to_contain_text("415 kg is far from the")
    page.get_by_label("It is right all the same").check()
    page.get_by_role("button", name="Weighed in").click()
    expect(one).to_contain_text("Done: Sal Orrin, 12:00. 415 kg, lot 26-230-")
    context.close()


def test_targets_are_large_enough_for_gloves(phone: Page):
    for each in phone.locator("main button, main summary").all():
        box = each.bounding_box()
        if box is not None and each.is_visible():
            assert min(box["height"], box["width"]) >= SMALLEST, each.inner_text()


def test_the_keyboard_stays_at_the_line(phone: Page):
    line = phone.locator(f"#{line_id(plain()[9])}")
    line.get_by_role("button").focus()
    phone.keyboard.press("Enter")
    expect(line).to_contain_text("Done: Sal Orrin")
    expect(line).to_be_focused()
    phone.keyboard.press("Tab")
    expect(line.get_by_role("button", name="Take back")).to_be_focused()


def test_the_connection_is_cut_in_the_middle_of_ticking(
    context: BrowserContext, phone: Page, house: House
):
    one, two, three, four = plain()[:4]
    press(phone, one)
    expect(phone.locator(f"#{line_id(one)}")).to_contain_text("Done: Sal Orrin")
    context.set_offline(True)
    for each in (three, two):
        press(phone, each)
        expect(phone.locator(f"#{line_id(each)}")).to_contain_text("Not sent yet")
    expect(phone.locator("#kept")).to_contain_text("Not sent yet: 2")
    assert ticked(house, two, three, four) == []
    context.set_offline(False)
    for each in (three, two):
        expect(phone.locator(f"#{line_id(each)}")).to_contain_text("Done: Sal Orrin")
    expect(phone.locator("#kept")).to_be_hidden()
    press(phone, four)
    expect(phone.locator(f"#{line_id(four)}")).to_contain_text("Done: Sal Orrin")
    found = ticked(house, one, two, three, four)
    assert [each.subject for each in found] == [one, three, two, four]


def test_what_is_kept_outlasts_the_page(context: BrowserContext, phone: Page, house: House):
    wash = plain()[4]
    context.set_offline(True)
    press(phone, wash)
    expect(phone.locator("#kept")).to_be_visible()
    leave(phone)
    context.set_offline(False)
    again = context.new_page()
    again.goto(house.address + PATH)
    expect(again.locator(f"#{line_id(wash)}")).to_contain_text("Done: Sal Orrin")
    assert len(ticked(house, wash)) == 1


def test_an_answer_that_is_lost_on_the_way_is_not_a_second_tick(
    context: BrowserContext, phone: Page, house: House
):
    """The book has it, but the telephone does not know: it is sent again, and done once."""
    wash = plain()[5]
    lost: list[int] = []

    def lose(route: Route) -> None:
        if route.request.method != "POST" or lost:
            route.continue_()
            return
        lost.append(route.fetch(max_redirects=0).status)
        route.abort()

    context.route(f"**{PATH}", lose)
    press(phone, wash)
    expect(phone.locator(f"#{line_id(wash)}")).to_contain_text("Not sent yet")
    assert len(ticked(house, wash)) == 1
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator(f"#{line_id(wash)}")).to_contain_text("Done: Sal Orrin")
    assert lost == [303]
    assert len(ticked(house, wash)) == 1


def test_an_answer_that_breaks_off_stops_nothing(phone: Page, house: House):
    """Its reason cannot be read: it is sent again, and so is what comes after."""
    one, two = plain()[12:14]
    phone.evaluate(BROKEN_OFF)
    press(phone, one)
    expect(phone.locator(f"#{line_id(one)}")).to_contain_text("Not sent yet")
    press(phone, two)
    for each in (one, two):
        expect(phone.locator(f"#{line_id(each)}")).to_contain_text("Done: Sal Orrin")
    assert [each.subject for each in ticked(house, one, two)] == [one, two]


def test_pressed_twice_without_a_connection_is_one_tick(
    context: BrowserContext, phone: Page, house: House
):
    wash = plain()[6]
    context.set_offline(True)
    form = phone.locator(f"#{line_id(wash)} form")
    form.evaluate("form => { form.requestSubmit(); form.requestSubmit(); }")
    expect(phone.locator("#kept")).to_contain_text("Not sent yet: 1")
    context.set_offline(False)
    expect(phone.locator(f"#{line_id(wash)}")).to_contain_text("Done: Sal Orrin")
    assert len(ticked(house, wash)) == 1


def test_what_the_book_refuses_is_told_and_the_rest_goes_on(
    context: BrowserContext, phone: Page, house: House
):
    wash = plain()[7]
    start = phone.locator("li", has=phone.locator("summary", has_text=re.compile("^Start"))).last
    place = start.get_attribute("id")
    context.set_offline(True)
    start.locator("summary").click()
    start.get_by_role("button", name=re.compile("^Started")).click()
    press(phone, wash)
    context.set_offline(False)
    expect(phone.locator(f"#{line_id(wash)}")).to_contain_text("Done: Sal Orrin")
    told = phone.locator("#refused")
    expect(told).to_contain_text(re.compile("not at the door|comes first"))
    expect(phone.locator(f"#{place} .not-taken")).to_be_visible()
    told.get_by_role("button", name="Put it aside").click()
    expect(told).to_be_hidden()


def test_a_session_that_has_ended_loses_nothing(context: BrowserContext, phone: Page, house: House):
    wash = plain()[11]
    context.clear_cookies()
    press(phone, wash)
    expect(phone.get_by_role("link", name="Log in again to send it")).to_be_visible()
    assert ticked(house, wash) == []
    house.enters(context, "hand")
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator(f"#{line_id(wash)}")).to_contain_text("Done: Sal Orrin")
    assert len(ticked(house, wash)) == 1


def test_what_somebody_else_pressed_here_is_not_sent_in_another_name(
    chromium: Browser, context: BrowserContext, phone: Page, house: House
):
    wash = plain()[8]
    context.set_offline(True)
    press(phone, wash)
    expect(phone.locator("#kept")).to_be_visible()
    leave(phone)
    context.clear_cookies()
    house.enters(context, "manager")
    context.set_offline(False)
    other = context.new_page()
    other.goto(house.address + PATH)
    expect(other.locator("#kept")).to_be_hidden()
    assert ticked(house, wash) == []
    context.clear_cookies()
    house.enters(context, "hand")
    other.goto(house.address + PATH)
    expect(other.locator(f"#{line_id(wash)}")).to_contain_text("Done: Sal Orrin")


def test_a_weight_at_the_door_outlasts_a_cut_line(context: BrowserContext, house: House):
    page = context.new_page()
    page.goto(f"{house.address}/at-the-door/{TUESDAY}")
    row = page.locator("#note-R12")
    row.locator("summary").click()
    row.get_by_label("True weight").fill("50")
    context.set_offline(True)
    row.get_by_role("button", name=re.compile("^Weighed in")).click()
    expect(row).to_contain_text("Not sent yet 50")
    expect(row.locator("summary")).to_be_hidden()
    context.set_offline(False)
    expect(row).to_contain_text("50 kg, lot 26-230-")
    expect(row).to_contain_text("5 kg more than noted.")
    with house.kitchen.shelf.reading() as book:
        assert [each.weighed_g for each in book.lots.where(note_id="R12")] == [50_000]
