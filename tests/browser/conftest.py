"""Chromium and a served site. A missing Chromium skips these tests; in CI it fails them."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

import httpx
import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from api.records.jobs import MendFound, Mending, Step, SupposedFound
from api.records.people import Role
from api.services.board_suppositions import finish_season
from api.services.jobs import SoFar, beat, claim
from api.services.mends import ask_mend
from api.services.suppositions import finish_supposed
from scheduler.comparing import compared
from scheduler.domain.clock import Span, Week
from scheduler.domain.mend import TurnMove
from scheduler.domain.plan import Moved, Plan
from scheduler.replay.changes import BY_KEY
from scheduler.replay.options import verdict, worded
from scheduler.replay.supposed import Supposed, Trial
from scheduler.scenario import load
from scheduler.units import Grams, Seconds
from tests.answer.posted import otherwise, posted
from tests.book import PEOPLE, doing
from tests.needs import lacking
from tests.printed_plan import printed_plan
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.shelves import FRIDAY, fresh_shelf, put
from tests.site import KEY, cookie
from tests.worked_day import worked_day
from web.app import create_site

SLOW_MS = 30_000  # on a busy machine an answer takes seconds
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="module")  # its event loop must be gone before other tests run
def chromium() -> Iterator[Browser]:
    found = shutil.which("chromium")
    if found is None:
        lacking("needs Chromium: apt-get install chromium")
    expect.set_options(timeout=SLOW_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where a site is served with the printed week (as W33) and the day made by hand (W34)."""
    august = load("august")
    week_before = replace(august, week=Week(2026, 33))
    with fresh_shelf(tmp_path_factory.mktemp("shelf")) as shelf:
        put(shelf, august, worked_day(august))
        put(shelf, week_before, printed_plan(week_before))
        with served(create_site(shelf)) as found:
            yield found


@contextmanager
def served(site: FastAPI) -> Iterator[str]:
    """The site at an address of this machine."""
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(site, log_level="warning"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join()


@dataclass(frozen=True, slots=True)
class House:
    """A served kitchen with people: August taken in, laid out by hand and posted, being
    laid out again, and laid out otherwise."""

    address: str
    kitchen: Kitchen

    def enters(self, context: BrowserContext, role: Role | None) -> None:
        """That role's person is logged in, in this browser."""
        if role is not None:
            value = cookie(self.kitchen.shelf, role)
            context.add_cookies([{"name": "commonrack", "value": value, "url": self.address}])


def leave(page: Page) -> None:
    """Closed while cut off: a page that goes is back on the line for a moment, and would send; so
    its own script is kept from it, which no moment of Chromium's can undo."""
    page.evaluate("() => { window.fetch = () => Promise.reject(new TypeError('cut off')); }")
    page.close()


COURSE = (Step(0.4, 887_876, 1_208_080), Step(6.0, 960_000, 1_150_000))


def _found_something(kitchen: Kitchen, course: tuple[Step, ...]) -> None:
    """A worker has the lay-out that was asked for, and has found something better."""
    first, last = course[0], course[-1]
    best = SoFar(last.spent, last.worth_g, last.bound_g, first.worth_g, course=course)
    with kitchen.shelf.working() as jobs:
        job = claim(jobs, "one", at=FRIDAY, lease=timedelta(seconds=20))
    assert job is not None
    with kitchen.shelf.working() as jobs:
        beat(jobs, job, until=FRIDAY, so_far=best)


def with_plans(
    kitchen: Kitchen,
    address: str,
    *,
    plan: Plan | None = None,
    course: tuple[Step, ...] = COURSE,
) -> None:
    """The week posted (without a plan: as by hand), a lay-out of it under way, and another plan
    pencilled; asked over HTTP, for a browser may hold the event loop."""
    headers = kitchen.by["manager"].headers
    number = kitchen.laid_out(plan or posted(AUGUST))
    post, again = f"{address}/api/v1/weeks/{WEEK}/post", f"{address}/api/v1/lay-outs"
    with httpx.Client(headers=headers, timeout=SLOW_MS / 1000) as client:
        client.post(post, json={"plan": number}).raise_for_status()
        client.post(again, json={"week": WEEK}).raise_for_status()
    _found_something(kitchen, course)
    kitchen.laid_out(otherwise(AUGUST))


def with_supposed(kitchen: Kitchen, address: str) -> None:
    """One supposition whose weeks are compared, one that was stopped before it began, and a season
    tried."""
    manager, board = kitchen.by["manager"].headers, kitchen.by["board"].headers
    suppose, season = f"{address}/api/v1/suppositions", f"{address}/api/v1/board/suppositions"
    run = posted(AUGUST).runs[0]
    down = {"dryer_id": run.dryer_id, "start": f"{run.start:%FT%TZ}", "end": f"{run.end:%FT%TZ}"}
    tries = {"year": 2026, "changes": ["dryer"], "tries": 1}
    with httpx.Client(timeout=SLOW_MS / 1000) as client:
        for more in ({"kind": "down", **down}, {"kind": "dryer"}):
            body = {"week": WEEK, **more}
            client.post(suppose, json=body, headers=manager).raise_for_status()
        client.post(f"{suppose}/3/stop", headers=manager).raise_for_status()
        client.post(season, json=tries, headers=board).raise_for_status()
    for number in (2, 4):
        end_supposed(kitchen, number)


def end_supposed(kitchen: Kitchen, number: int) -> None:
    """What workers would have found in an hour, told at once."""
    with kitchen.shelf.working() as jobs:
        job = claim(jobs, "one", at=FRIDAY, lease=timedelta(seconds=20), number=number)
    assert job is not None
    here, other = posted(AUGUST), otherwise(AUGUST)
    with kitchen.shelf.writing() as book:
        if job.suppose:
            moved = (Moved(here.runs[0].charges[0].note_id, 18, "Its dryer is down then."),)
            both, bound = compared((AUGUST, here), (AUGUST, other)), Grams(1_186_716)
            found = SupposedFound(both, here.worth_g, bound, bound, moved)
            finish_supposed(book, job, found, at=FRIDAY, stopped=False)
        else:
            left = ((5, 1_000),)
            gained = (("G06", 25_000), ("G02", 10_000), ("G12", 8_000), ("G01", -3_000))
            worth = here.worth_g, here.worth_g + 40_000
            trials = (Trial(AUGUST.week, "dryer", 1, *worth, left, gained),)
            tried = (Supposed(BY_KEY["dryer"], 2_571, trials),)
            options, says = worded(tried, "USD"), verdict(tried, "USD")
            finish_season(book, job, options, says, at=FRIDAY)


def with_mend(kitchen: Kitchen) -> None:
    """A mend that was found, both ways told at once: a turn moves by two hours, or falls away."""
    start, late = posted(AUGUST).runs[0].start, timedelta(hours=2)
    was, now = (Span(at, at + timedelta(minutes=30)) for at in (start, start + late))
    turn = TurnMove("G12", "R03", "bringing", was, now, Seconds(7_200), 3_600, 1, "Closed.", True)
    gone = replace(turn, now=None, notice_s=Seconds(86_400), rule=0, reason="", forced=False)
    small = MendFound(1, (), ("R02",), (), 880_000, (turn,))
    whole = MendFound(2, ("R02",), (), (), 920_000, (gone,))
    with kitchen.shelf.writing() as book:
        job = ask_mend(book, doing(PEOPLE["manager"]), AUGUST.week)
        found = Mending((), small, whole, "small", "It moves the fewer turns of short notice.")
        book.jobs.change(job, state="done", mend=found, ended_at=FRIDAY)


@contextmanager
def house_in(folder: Path) -> Iterator[House]:
    """A house with plans, in a folder of its own."""
    with (
        opened(folder, create_site, key=KEY) as kitchen,
        served(kitchen.by["manager"].app) as address,
    ):
        with_plans(kitchen, address)
        with_supposed(kitchen, address)
        with_mend(kitchen)
        yield House(address, kitchen)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    with house_in(tmp_path_factory.mktemp("house")) as found:
        yield found


@pytest.fixture(params=[True, False], ids=["script on", "script off"])
def script(request: pytest.FixtureRequest) -> bool:
    return bool(request.param)


@pytest.fixture
def desk(chromium: Browser, house: House, script: bool) -> Iterator[Page]:
    """Lotte's desk, past the door."""
    context = chromium.new_context(
        viewport={"width": 1280, "height": 900},
        java_script_enabled=script,
        locale="en-GB",
    )
    house.enters(context, "manager")
    page = context.new_page()
    page.set_default_timeout(SLOW_MS)
    page.goto(house.address)
    yield page
    context.close()


def goes_to(desk: Page, name: str) -> None:
    desk.get_by_role("navigation", name="Pages").get_by_role("link", name=name).click()
    expect(desk.locator("h1")).to_have_text(name)
