"""What a page weighs as it is sent: itself, its styles and its scripts, without pictures."""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import House, house_in
from tests.browser.pages import PAGES, Seen
from tests.site import cookie

MOST = 150_000  # bytes: what issue and look ask for
LOADED = re.compile(r'<(?:link rel="stylesheet" href|script src)="([^"]+)"')
SCRIPT = re.compile(r"<script\b[^>]*>")


def sent(house: House, seen: Seen) -> tuple[str, dict[str, int]]:
    """The page, and the bytes of it and of all that it loads, by address."""
    cookies = {"commonrack": cookie(house.kitchen.shelf, seen.by)} if seen.by else {}
    with httpx.Client(base_url=house.address, cookies=cookies, timeout=30) as client:
        page = client.get(seen.path, follow_redirects=True)
        loaded = [client.get(each) for each in LOADED.findall(page.text)]
    assert all(each.status_code == httpx.codes.OK for each in loaded)
    weighed = {seen.path: page.num_bytes_downloaded}
    return page.text, weighed | {each.url.path: each.num_bytes_downloaded for each in loaded}


@pytest.mark.parametrize("seen", PAGES, ids=str)
def test_a_page_is_light_and_its_scripts_wait_for_it(house: House, seen: Seen):
    page, weighed = sent(house, seen)
    assert "/static/house.css" in weighed
    assert sum(weighed.values()) < MOST
    for script in SCRIPT.findall(page):
        assert " defer" in script, script


def test_what_pages_with_a_script_say_is_there_without_it(chromium: Browser, house: House):
    scripted = [seen for seen in PAGES if SCRIPT.search(sent(house, seen)[0])]
    assert scripted
    for seen in scripted:
        context = chromium.new_context(java_script_enabled=False)
        house.enters(context, seen.by)
        shown = context.new_page()
        shown.goto(house.address + seen.path, wait_until="domcontentloaded")
        assert shown.locator("h1").is_visible(), seen
        assert shown.locator("main").inner_text().count("\n") > 1, seen
        context.close()


def main() -> None:
    """`python -m tests.browser.test_weight`: what each page weighs, the heaviest first."""
    with tempfile.TemporaryDirectory() as folder, house_in(Path(folder)) as house:
        rows = [(sum(weighed.values()), weighed[seen.path], str(seen)) for seen in PAGES
                for _, weighed in [sent(house, seen)]]  # fmt: skip
    for whole, itself, name in sorted(rows, reverse=True):
        sys.stdout.write(f"{whole:8,} {itself:8,}  {name}\n")


if __name__ == "__main__":
    main()
