"""A served book in a test: the invented August week taken in, and one asker a role."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from api.app import create_service
from api.records.people import Role
from api.records.plans import From
from api.services.asking import asked_of
from api.services.people import COMMAND_LINE
from api.services.plans import keep
from api.services.roles import ROLES
from api.services.taking_in import take_in
from api.services.weeks import week_entry
from api.store import DatabaseShelf
from scheduler.domain.plan import Plan
from scheduler.scenario import load
from tests.asking import Asking
from tests.book import PEOPLE, add_people, doing, token_of
from tests.lent import Make, lent
from tests.shelves import FRIDAY, fresh_shelf

AUGUST = load("august")
WEEK = "2026-W34"
TOMATO = {
    "grower_id": "G01",
    "card_id": "tomato",
    "field_kg": 12,
    "arrives": "2026-08-18T08:00:00-04:00",
}


@dataclass
class Kitchen:
    """A served book, one asker a role."""

    shelf: DatabaseShelf
    by: dict[Role, Asking]
    now: list[Any]

    def nobody(self) -> Asking:
        return Asking(self.by["manager"].app)

    def laid_out(self, plan: Plan) -> int:
        with self.shelf.writing() as book:
            week = week_entry(book, AUGUST.week)
            asked = asked_of(book, AUGUST.week, now=FRIDAY)
            origin = From(week.notes_version, week.posted, "lotte")
            return keep(book.plans, asked, plan, laid_out_at=FRIDAY, origin=origin)


def august_and_people(shelf: DatabaseShelf) -> None:
    """The August week taken in, and one person of each role."""
    with shelf.writing() as book:
        take_in(book, doing(COMMAND_LINE), AUGUST)
        add_people(book)


@contextmanager
def opened(folder: Path, make: Make = create_service, **how: Any) -> Iterator[Kitchen]:
    now = [FRIDAY]
    with (
        fresh_shelf(folder, august_and_people) as shelf,
        lent(make, shelf, lambda: now[0], **how) as app,
    ):
        with shelf.writing() as book:
            by = {role: Asking(app, token_of(book, PEOPLE[role])) for role in ROLES}
        yield Kitchen(shelf, by, now)
