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
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import httpx
from playwright.sync_api import Browser, Page, sync_playwright

from api.records.jobs import Step
from api.records.people import Role
from scheduler.planning import Limits, Progress, lay_out
from scheduler.units import Grams
from tests.browser.conftest import FLAGS, SLOW_MS, House, served, with_plans, with_supposed
from tests.browser.pages import PAGES, TUESDAY, WEEK, Seen
from tests.browser.shrunk import printed, shrunk
from tests.browser.worked_through import worked_through
from tests.served import AUGUST, opened
from tests.shelves import FRIDAY
from tests.site import KEY
from web.app import create_site

MORNING = datetime(2026, 8, 18, 14, 40, tzinfo=UTC)
STOPPED, LATE = datetime(2026, 8, 19, 1, 25, tzinfo=UTC), datetime(2026, 8, 19, 2, 10, tzinfo=UTC)
SECONDS = 45.0  # the lay-out's
STILL_LOOKING = 25.0  # seconds of the lay-out that is seen under way
SIZES = {
    "phone": (390, 844, "light"),
    "desk": (1280, 900, "dark"),
    "desk-light": (1280, 900, "light"),  # of those in the README
}
MORE = (
    Seen("/waiting-list?plan=1", "manager"),
    Seen("/night-sheet/stopped/1", "on_call"),
    Seen("/day-sheets/2026-08-18/labels?each=rack", "hand"),
)
IN_README = (Seen(WEEK, "manager"), Seen(TUESDAY, "hand"), Seen("/lay-out/1", "manager"))
PRINTED = (
    Seen(WEEK, "manager"),
    Seen(TUESDAY, "hand"),
    Seen("/", "on_call"),
    Seen("/day-sheets/2026-08-18/labels", "hand"),
    Seen("/board/2026-W34", "board"),
    Seen("/board/season/2026", "board"),
)


@dataclass(frozen=True, slots=True)
class Moment:
    """When it is whose pages' turn, and what has happened by then."""

    whose: tuple[Role | None, ...]
    happens: Callable[[House], None]


def main(folder: str, *paths: str) -> None:
    """All pages of the list, where no paths are named."""
    wanted = [each for each in (*PAGES, *MORE) if not paths or each.path in paths]
    on_paper = [each for each in PRINTED if not paths or each.path in paths]
    into = Path(folder)
    into.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as book,
        _house(Path(book)) as house,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for moment in MOMENTS:
            moment.happens(house)
            _take(browser, house, (each for each in wanted if each.by in moment.whose), into)
            _print(browser, house, (each for each in on_paper if each.by in moment.whose), into)
        browser.close()


@contextmanager
def _house(folder: Path) -> Iterator[House]:
    with (
        opened(folder, create_site, key=KEY) as kitchen,
        served(kitchen.by["manager"].app) as address,
    ):
        course: list[Step] = []
        limits = Limits(SECONDS)
        plan = lay_out(AUGUST, limits=limits, watch=lambda now: _notes_down(course, now)).plan
        begun = tuple(step for step in course if step.spent < STILL_LOOKING)
        with_plans(kitchen, address, plan=plan, course=begun)
        with_supposed(kitchen, address)
        yield House(address, kitchen)


def _notes_down(course: list[Step], now: Progress) -> None:
    course.append(Step(now.seconds, now.worth_g, now.bound_g))


def _friday(house: House) -> None:
    house.kitchen.now[0] = FRIDAY


def _morning(house: House) -> None:
    worked_through(house.kitchen, MORNING, weighed={"R10": Grams(56_500)}, unread=1)


def _night(house: House) -> None:
    worked_through(house.kitchen, STOPPED, weighed={})
    stop = {"station_id": "D3", "cause": "the fan stands still"}
    headers = house.kitchen.by["hand"].headers
    httpx.post(
        f"{house.address}/api/v1/outages", json=stop, headers=headers, timeout=SLOW_MS / 1000
    ).raise_for_status()
    house.kitchen.now[0] = LATE


MOMENTS = (
    Moment(("manager", None), _friday),
    Moment(("hand", "grower"), _morning),
    Moment(("on_call", "board"), _night),
)


@contextmanager
def _open(browser: Browser, house: House, seen: Seen, size: str) -> Iterator[Page]:
    width, height, scheme = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    context.set_default_timeout(10 * SLOW_MS)
    house.enters(context, seen.by)
    page = context.new_page()
    page.goto(house.address + seen.path)
    yield page
    context.close()


def _take(browser: Browser, house: House, wanted: Iterable[Seen], folder: Path) -> None:
    for seen in wanted:
        for size in SIZES if seen in IN_README else ("phone", "desk"):
            with _open(browser, house, seen, size) as page:
                picture = page.screenshot(full_page=True)
            (folder / f"{_name(seen)}-{size}.png").write_bytes(shrunk(picture))


def _print(browser: Browser, house: House, wanted: Iterable[Seen], folder: Path) -> None:
    for seen in wanted:
        with _open(browser, house, seen, "desk") as page:
            pdf = page.pdf(prefer_css_page_size=True, format="A4", print_background=False)
        (folder / f"{_name(seen)}-printed.png").write_bytes(printed(pdf))


def _name(seen: Seen) -> str:
    """ "night-sheet-on_call": the path and who looks."""
    path = re.sub(r"[^\w]+", "-", seen.path).strip("-") or "first"
    return f"{path}-{seen.by or 'nobody'}"


if __name__ == "__main__":
    main(*sys.argv[1:])
