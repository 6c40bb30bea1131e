"""What is looked at when, for pictures: one August week from the Friday before to a night with a
stop, and what else must have happened for a page to have something to show."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from threading import Event

import httpx

from api.records.jobs import Step
from api.records.notes import StandingLot
from api.records.people import Role
from api.services.bills import months_bills
from api.services.dry_checks import Check, dry_check
from api.services.feed_addresses import give_feed, own_feeds
from api.services.lots import lot
from api.services.mends import ask_mend
from api.services.standing import keep_standing
from api.services.to_check import due
from api.worker import Way, Worker
from scheduler.planning import Limits, Progress, lay_out
from scheduler.process.dry_check import Reading
from scheduler.units import Grams
from tests.book import GROWER, HAND, MANAGER, doing
from tests.browser.conftest import SLOW_MS, House, served, with_plans, with_supposed
from tests.browser.pages import MENDED, OWED, PAGES, TUESDAY, WEEK, Seen
from tests.browser.worked_through import worked_through
from tests.served import AUGUST, opened
from tests.shelves import FRIDAY
from tests.site import KEY
from web.app import create_site

MORNING = datetime(2026, 8, 18, 14, 40, tzinfo=UTC)
STOPPED, LATE = datetime(2026, 8, 19, 1, 25, tzinfo=UTC), datetime(2026, 8, 19, 2, 10, tzinfo=UTC)
BACK = datetime(2026, 8, 20, 16, 0, tzinfo=UTC)
SECONDS = 45.0  # the lay-out's
STILL_LOOKING = 25.0  # seconds of the lay-out that is seen under way
TO_MEND = 20.0  # seconds for both ways
WET = (0.62, 14.0)  # water activity and moisture (%) that no card of August lets pass (demo)
LABELS = "/day-sheets/2026-08-18/labels"
MUSHROOM = StandingLot(
    "G12",
    "mushroom",
    Grams(35_000),
    weekday=0,
    at=time(8),
    may_split=True,
    second_pair=False,
    remark="",
    first=AUGUST.week,
    last=None,
)
PLACES = (Seen("/places/R02", "hand"), Seen("/places/R09/later", "hand"))  # until it has started
OTHERWISE = (MENDED, OWED, *PLACES)  # on Friday nothing has stopped, and nobody owes anything
OWES = Seen("/invoices/2026-08/{owes}", "manager")

Found = dict[str, str]  # what stands in braces in an address, once it has happened


@dataclass(frozen=True, slots=True)
class Moment:
    """What has happened by then, and what is looked at: of the list the pages of those whose turn
    it is, and more that is only there then."""

    happens: Callable[[House], Found]
    whose: tuple[Role | None, ...] = ()
    more: tuple[Seen, ...] = ()

    @property
    def pages(self) -> tuple[Seen, ...]:
        hers = (each for each in PAGES if each.by in self.whose and each not in OTHERWISE)
        return (*hers, *self.more)


PRINTED = (
    Seen(WEEK, "manager"),
    Seen(TUESDAY, "hand"),
    Seen("/", "on_call"),
    Seen(LABELS, "hand"),
    Seen("/board/2026-W34", "board"),
    Seen("/board/season/2026", "board"),
    OWES,
)


@contextmanager
def august_house(folder: Path) -> Iterator[House]:
    """August laid out in earnest and posted, and laid out again."""
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


def _friday(house: House) -> Found:
    house.kitchen.now[0] = FRIDAY
    with house.kitchen.shelf.writing() as book:
        number = keep_standing(book, doing(MANAGER), MUSHROOM).number
    return {"standing": str(number)}


def _morning(house: House) -> Found:
    worked_through(house.kitchen, MORNING, weighed={"R10": Grams(56_500)}, unread=1)
    with house.kitchen.shelf.writing() as book:
        own = doing(GROWER, MORNING)
        give_feed(book, own, "grower", GROWER.grower_id or "")
        feed = own_feeds(book, own)[0].id
        waits = due(book, doing(HAND, MORNING))[0]
        weighed = next(each.code for each in book.lots.every() if each.note_id == "R10")
    return {"code": waits.lot.code, "run": str(waits.run.number), "feed": feed, "R10": weighed}


def _held(house: House) -> Found:
    """The dry check that waited has failed."""
    with house.kitchen.shelf.writing() as book:
        now = doing(HAND, MORNING + timedelta(minutes=5))
        found = due(book, now)[0]
        readings = tuple(Reading(rack, *WET) for rack in found.racks)
        check = Check(readings, "hold", MANAGER.name, found.run.number)
        code = found.lot.code
        dry_check(book, now, code, version=lot(book, now, code).version, check=check)
    house.kitchen.now[0] = now.at
    return {"code": code, "run": str(found.run.number)}


def _night(house: House) -> Found:
    worked_through(house.kitchen, STOPPED, weighed={})
    headers = house.kitchen.by["hand"].headers
    outages = f"{house.address}/api/v1/outages"
    stop = {"station_id": "D3", "cause": "the fan stands still"}
    with httpx.Client(headers=headers, timeout=SLOW_MS / 1000) as client:
        told = client.post(outages, json=stop).raise_for_status()
        seen = {"If-Match": told.headers["etag"]}
        where = house.address + told.headers["location"]
        client.patch(where, json={"back": BACK.isoformat()}, headers=seen).raise_for_status()
    house.kitchen.now[0] = LATE
    with house.kitchen.shelf.reading() as book:
        bills = months_bills(book, doing(MANAGER, LATE), LATE.date().replace(day=1))
    return {"stop": re.sub(r".*/", "", where), "owes": bills.invoices[0].grower_id}


def _mended(house: House) -> Found:
    kitchen = house.kitchen
    with kitchen.shelf.writing() as book:
        number = ask_mend(book, doing(MANAGER, LATE), AUGUST.week, seconds=TO_MEND).number
    way = Way(lease=timedelta(minutes=5), explain_seconds=0, climbers=1)
    Worker(kitchen.shelf, Event(), way=way, clock=lambda: kitchen.now[0]).take(number)
    return {}


MOMENTS = (
    Moment(
        _friday,
        ("manager", None),
        (
            Seen("/waiting-list?plan=1", "manager"),
            *PLACES,
            Seen("/plans/2/fees", "manager"),
            Seen("/harvest-notes/standing-lots/{standing}/end", "manager"),
        ),
    ),
    Moment(
        _morning,
        ("hand", "grower"),
        (
            Seen(f"{LABELS}?each=rack", "hand"),
            Seen("/lot-card/{R10}/correct", "hand"),
            Seen("/dry-checks/{code}/{run}", "hand"),
            Seen("/my-calendar/{feed}/revoke", "grower"),
        ),
    ),
    Moment(_held, more=(Seen("/dry-checks/{code}/{run}/held", "hand"),)),
    Moment(
        _night,
        ("on_call", "board"),
        (
            Seen("/night-sheet/stopped/{stop}", "on_call"),
            OWED,
            Seen("/invoices/2026-08?lines=yes", "manager"),
            OWES,
        ),
    ),
    Moment(_mended, more=(MENDED,)),
)
