"""`python -m tests.browser.take_pictures FOLDER [PATH ...]`: pictures of the pages, or of some.

The August week is posted, and it is Tuesday, 22:10: two lots are weighed in, and D3 is down.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.browser.conftest import FLAGS, House, served, with_plans, with_supposed
from tests.browser.pages import PAGES, Seen
from tests.served import Kitchen, opened
from tests.site import KEY
from web.app import create_site

LATE = datetime(2026, 8, 19, 2, 10, tzinfo=UTC)
SIZES = {"phone": (390, 844), "desk": (1280, 900)}
MORE = (Seen("/night-sheet/stopped/1", "on_call"),)


def main(folder: str, *paths: str) -> None:
    """All pages of the list, where no paths are named."""
    wanted = [each for each in (*PAGES, *MORE) if not paths or each.path in paths]
    with (
        tempfile.TemporaryDirectory() as book,
        _house(Path(book)) as house,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        _take(browser, house, wanted, Path(folder))
        browser.close()


@contextmanager
def _house(folder: Path) -> Iterator[House]:
    with (
        opened(folder, create_site, key=KEY) as kitchen,
        served(kitchen.by["manager"].app) as address,
    ):
        with_plans(kitchen, address)
        with_supposed(kitchen, address)
        kitchen.now[0] = LATE
        _happen(kitchen)
        yield House(address, kitchen)


def _happen(kitchen: Kitchen) -> None:
    hand = kitchen.by["hand"]
    for note_id, weighed_kg in (("R11", 43.5), ("R12", 46)):
        hand.post("/api/v1/lots", {"note_id": note_id, "weighed_kg": weighed_kg})
    hand.post("/api/v1/outages", {"station_id": "D3", "cause": "the fan stands still"})


def _take(browser: Browser, house: House, wanted: Iterable[Seen], folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for seen in wanted:
        for size, (width, height) in SIZES.items():
            context = browser.new_context(viewport={"width": width, "height": height})
            house.enters(context, seen.by)
            page = context.new_page()
            page.goto(house.address + seen.path)
            page.screenshot(path=folder / f"{_name(seen)}-{size}.png", full_page=True)
            context.close()


def _name(seen: Seen) -> str:
    """ "night-sheet-on_call": the path and who looks."""
    path = re.sub(r"[^\w]+", "-", seen.path).strip("-") or "first"
    return f"{path}-{seen.by or 'nobody'}"


if __name__ == "__main__":
    main(*sys.argv[1:])
