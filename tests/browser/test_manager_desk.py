"""What the manager does besides laying out, in Chromium with script and without: rings, pins, sets
two plans side by side, reads the fees and the hours, and how she reads them."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.conftest import House, goes_to
from tests.browser.pages import WEEK

PINNED = "/pinned/2026-W34"
HOUR = re.compile(r"\d\d:\d\d")


def asks(desk: Page, kind: str, *, lot: str = "none", dryer: str = "any", when: str) -> None:
    desk.get_by_label(kind).check()
    desk.get_by_label("Which lot?").select_option(lot)
    desk.get_by_label("Which dryer?").select_option(dryer)
    desk.get_by_label("When?").select_option(when)
    desk.get_by_role("button", name="Tell me first").click()


def keeps(desk: Page) -> None:
    desk.get_by_role("button", name=re.compile("^Keep it")).click()


def test_she_rings_and_takes_it_back(desk: Page):
    goes_to(desk, "Harvest notes")
    desk.get_by_role("link", name="Call list").click()
    rung = desk.get_by_role("button", name=re.compile("^Rung.*G08"))
    rung.click()
    expect(desk.get_by_role("status")).to_contain_text("was rung.")
    row = desk.locator(".lots > li", has=desk.get_by_role("heading", name=re.compile("^G08")))
    expect(row).to_contain_text("Rung by Lotte Amberry")
    expect(rung).to_have_count(0)
    desk.get_by_role("button", name="Undo").click()
    expect(rung).to_have_count(1)
    expect(row).not_to_contain_text("Rung by")


def test_she_pins_forbids_and_leaves_free_and_undoes_it(desk: Page, house: House):
    desk.goto(house.address + PINNED)
    asks(desk, "Pin a lot there", lot="R01", when="2026-08-19")
    expect(desk.locator("h1")).to_contain_text("R01 onion is pinned: Wednesday 19 August")
    keeps(desk)
    asks(desk, "Forbid a lot there", lot="R15", dryer="D2", when="any")
    expect(desk.locator("h1")).to_contain_text("R15 onion is forbidden")
    keeps(desk)
    asks(desk, "Leave a dryer free then", dryer="D4", when="2026-08-21")
    expect(desk.locator("h1")).to_contain_text("Left free: ")
    keeps(desk)
    wished = desk.locator(".lots > li")
    expect(wished).to_have_count(3)
    for left in (2, 1, 0):
        wished.last.get_by_role("button").click()
        expect(wished).to_have_count(left)
    expect(desk.locator("main")).to_contain_text("Nothing is pinned, forbidden or left free.")


def test_she_is_told_which_rule_a_pin_breaks(desk: Page, house: House):
    desk.goto(house.address + PINNED)
    asks(desk, "Forbid a lot there", lot="R02", dryer="D3", when="any")
    expect(desk.locator("main")).to_contain_text("Rule 18 of the kitchen: Firm is firm")
    desk.goto(house.address + PINNED)
    expect(desk.locator(".lots > li")).to_have_count(0)


def test_two_plans_stand_side_by_side(desk: Page, house: House):
    desk.goto(house.address + "/plans/2")
    desk.get_by_role("link", name="Beside plan 1").click()
    expect(desk.locator("h1")).to_have_text("Plan 2 beside plan 1")
    fees = desk.get_by_role("row", name=re.compile("^fees of all growers"))
    expect(fees.get_by_role("cell")).to_have_text([re.compile(r"\d\.\d\d$")] * 2)
    pair = desk.locator(".beside").first.locator("p")
    left, right = (pair.nth(each).bounding_box() for each in (0, 1))
    assert left is not None
    assert right is not None
    assert left["y"] == right["y"]
    assert left["x"] + left["width"] <= right["x"]


def test_the_fees_of_a_lot_are_two_steps_from_the_week(desk: Page):
    goes_to(desk, "Week on the racks")
    desk.get_by_role("link", name="Turns and fees").click()
    desk.get_by_role("link", name=re.compile("^G11")).click()
    hers = desk.locator("#G11")
    expect(hers).to_be_in_viewport()
    told = desk.get_by_role("row", name=re.compile("^G11")).get_by_role("cell").last.inner_text()
    expect(hers.get_by_role("heading").first).to_contain_text(told.strip())
    lots = hers.locator("tfoot .number").all_inner_texts()
    assert round(sum(map(amount, lots)), 2) == amount(told)


def amount(told: str) -> float:
    return float(re.sub(r"[^\d.]", "", told))


def test_the_hours_below_the_strips_stand_in_a_table(desk: Page, house: House):
    desk.goto(house.address + WEEK)
    folded = desk.locator(".in-use")
    expect(folded.get_by_role("table")).not_to_be_visible()
    folded.locator("summary").click()
    steamer = folded.get_by_role("row", name=re.compile("S1"))
    expect(steamer.first).to_be_visible()
    expect(steamer.first.get_by_role("cell").last).to_have_text(HOUR)
    assert len(desk.locator(".strips svg title").all()) > 1


def test_language_and_units_are_hers_until_she_changes_them_back(desk: Page, house: House):
    desk.goto(house.address + "/my-settings")
    for group, choice in (("Language", "Español"), ("Weights", "lb"), ("Temperatures", "°F")):
        desk.get_by_role("group", name=group).get_by_label(choice, exact=True).check()
    desk.get_by_role("button", name="Keep").click()
    expect(desk.locator("html")).to_have_attribute("lang", "es")
    desk.goto(house.address + "/lot-card/R09")
    expect(desk.locator("h1")).to_contain_text(re.compile("2[78]\\d lb"))  # 125 kg
    expect(desk.locator("main")).to_contain_text("°F")
    desk.goto(house.address + "/my-settings")
    for each in desk.get_by_role("group").all():
        each.get_by_role("radio").first.check()
    desk.locator("main form button").click()
    expect(desk.locator("html")).to_have_attribute("lang", re.compile("^en"))
    desk.goto(house.address + "/lot-card/R09")
    expect(desk.locator("h1")).to_contain_text("125 kg")
