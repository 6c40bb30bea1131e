"""Every page of the site has its picture, or here a reason why it has none."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.routing import Match, Route

from tests.browser.moments import MOMENTS
from tests.browser.pages import PAGES, Seen
from tests.browser.take_pictures import pictures_of
from web.app import PAGES as SITE

FOLDER = Path(__file__).parent / "pictures"
MOST = 5 * 2**20  # bytes of the whole folder
FILE = "is a file, not a page"
LEADS_ON = "shows nothing itself: it leads on to a page that has its picture"
LIVE = "is a part of a page, as it is fetched again and again"
WITHOUT = {
    "/board/season/{year}/pdf": FILE,
    "/board/season/{year}/tables.xlsx": FILE,
    "/board/season/{year}/{table}.csv": FILE,
    "/board/{iso_week}/pdf": FILE,
    "/day-sheets/{day}/pdf": FILE,
    "/invoices/{month}/csv": FILE,
    "/invoices/{month}/{grower_id}/csv": FILE,
    "/at-the-door": LEADS_ON,
    "/board": LEADS_ON,
    "/board/season": LEADS_ON,
    "/day-sheets": LEADS_ON,
    "/invited/{secret}": LEADS_ON,
    "/invoices": LEADS_ON,
    "/tick-off": LEADS_ON,
    "/weeks": LEADS_ON,
    "/board/suppose/{number}/progress": LIVE,
    "/lay-out/{number}/progress": LIVE,
    "/suppose/{number}/progress": LIVE,
    "/night-sheet": "is the first page of who is on call, and pictured as that",
}  # fmt: skip
ROUTES = [
    each
    for page in SITE
    for each in page.router.routes
    if isinstance(each, Route) and "GET" in (each.methods or ())
]
PICTURED = {seen: None for moment in MOMENTS for seen in moment.pages}


def route_of(seen: Seen) -> str | None:
    """The first that answers there, as the site asks them."""
    scope = {"type": "http", "method": "GET", "path": seen.path.partition("?")[0]}
    return next((each.path for each in ROUTES if each.matches(scope)[0] == Match.FULL), None)


@pytest.mark.parametrize("route", [each.path for each in ROUTES])
def test_a_page_has_its_picture_or_a_reason(route: str):
    assert (route in WITHOUT) != any(route_of(seen) == route for seen in PICTURED)


def test_reasons_are_of_pages_that_there_are():
    assert set(WITHOUT) <= {each.path for each in ROUTES}


@pytest.mark.parametrize("seen", PAGES, ids=str)
def test_a_page_that_is_tried_is_pictured(seen: Seen):
    assert seen in PICTURED


def test_the_folder_has_these_pictures_and_no_others():
    wanted = {f"{name}.png" for seen in PICTURED for name in pictures_of(seen)}
    assert wanted == {each.name for each in FOLDER.iterdir()}


def test_pictures_can_be_kept():
    assert sum(each.stat().st_size for each in FOLDER.iterdir()) <= MOST
