"""`python -m tests.browser.take_pictures FOLDER [PATH ...]`: pictures of the pages, or of some.

August is laid out in earnest and posted on Friday: what the manager plans with is looked at then.
Tuesday morning, 10:40, is the kitchen's and the growers'; at 22:10 D3 has been down for a while.
Each page on a phone by day and at a desk by night; what is hung on a wall as it is printed, too.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.conftest import FLAGS, SLOW_MS, House
from tests.browser.moments import MOMENTS, PRINTED, Found, august_house
from tests.browser.pages import TUESDAY, WEEK, Seen
from tests.browser.shrunk import printed, shrunk

SIZES = {
    "phone": (390, 844, "light"),
    "desk": (1280, 900, "dark"),
    "desk-light": (1280, 900, "light"),  # of those in the README
}
NOWHERE = Seen("/nowhere", "manager")
IN_README = (Seen(WEEK, "manager"), Seen(TUESDAY, "hand"), Seen("/lay-out/1", "manager"))


def main(folder: str, *paths: str) -> None:
    """All pages of all moments, where no paths are named."""
    into = Path(folder)
    into.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as book,
        august_house(Path(book)) as house,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for moment in MOMENTS:
            found = moment.happens(house)
            wanted = [each for each in moment.pages if not paths or each.path in paths]
            _take(browser, house, wanted, found, into)
        browser.close()


def pictures_of(seen: Seen) -> dict[str, str]:
    """Names of its pictures, without .png: its path, who looks, how; and how."""
    path = re.sub(r"[^\w]+", "-", seen.path).strip("-") or "first"
    sizes = SIZES if seen in IN_README else ("phone", "desk")
    on_paper = ("printed",) if seen in PRINTED else ()
    return {f"{path}-{seen.by or 'nobody'}-{how}": how for how in (*sizes, *on_paper)}


def _take(browser: Browser, house: House, wanted: Iterable[Seen], found: Found, into: Path) -> None:
    for seen in wanted:
        for name, how in pictures_of(seen).items():
            with _open(browser, house, seen, SIZES.get(how, SIZES["desk"])) as page:
                answer = page.goto(house.address + seen.path.format(**found))
                if answer is None or (not answer.ok and seen != NOWHERE):
                    raise LookupError(f"nothing to be seen at {page.url}")
                (into / f"{name}.png").write_bytes(_picture(page, on_paper=how == "printed"))


def _picture(page: Page, *, on_paper: bool) -> bytes:
    if on_paper:
        return printed(page.pdf(prefer_css_page_size=True, format="A4", print_background=False))
    return shrunk(page.screenshot(full_page=True))


@contextmanager
def _open(browser: Browser, house: House, seen: Seen, size: tuple[int, int, str]) -> Iterator[Page]:
    width, height, scheme = size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    context.set_default_timeout(10 * SLOW_MS)
    house.enters(context, seen.by)
    yield context.new_page()
    context.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
