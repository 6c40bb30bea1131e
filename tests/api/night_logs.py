"""The invented night for tests of its log: D3 stops at 22:10 with R09 in it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from api.services.asking import asked_of
from api.services.emergencies import part_lots_of_log
from api.services.night_lines import Wrote, write_night_log
from api.services.night_log import PartClock, Seen
from api.services.outages import down
from api.services.ports import Book
from api.services.roles import Doing
from api.services.taking_in import take_in
from scheduler.domain.outage import Happened
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan
from scheduler.scenario import load
from tests.book import HAND, MANAGER, ON_CALL, doing
from tests.shelves import fresh_shelf

NIGHT = load("dryer_down")


def at(clock: str, day: int = 19) -> datetime:
    return datetime.fromisoformat(f"2026-08-{day}T{clock}-04:00")


STOP = at("22:10", 18)


def jun(when: datetime) -> Doing:
    return doing(ON_CALL, when)


@contextmanager
def stopped_night(folder: Path) -> Iterator[Book]:
    """D3 with R09 in it stops at 22:10, as the invented night tells."""
    asked = replace(NIGHT, happened=Happened(NIGHT.happened.now, NIGHT.happened.runs, ()))
    with fresh_shelf(folder) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), asked)
        down(found, doing(HAND, at("22:45", 18)), "D3", stopped=STOP, cause="fan motor")
        yield found


def number(book: Book) -> int:
    return book.outages.where(station_id="D3")[0].number


def writes(
    book: Book, when: datetime, part: str, seen: Seen, celsius: float | None = None
) -> tuple[PartClock, ...]:
    return write_night_log(book, jun(when), number(book), Wrote(part, seen, "", celsius)).clocks


def in_the_week(book: Book, when: datetime, plan: Plan) -> tuple[PartLot, ...]:
    """What a mend of that plan would start from."""
    asked = asked_of(book, NIGHT.week, now=when)
    return part_lots_of_log(book, doing(MANAGER, when), asked, plan, when)
