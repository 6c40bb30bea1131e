"""A book with an invented week in it, for tests of asking for lay-outs and of doing them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, time, timedelta
from functools import cache
from pathlib import Path

import pytest

from api.records.jobs import Job
from api.services.jobs import ask
from api.services.taking_in import take_in
from api.settings import QUEUES, QueueName
from api.store import DatabaseShelf, open_shelf
from scheduler.domain.clock import Week
from scheduler.scenario import load
from tests.book import MANAGER, doing
from tests.databases import NAMED, Fill, fresh_url


def queues_here() -> tuple[QueueName, ...]:
    """The queues that the database of the environment can carry."""
    return QUEUES if NAMED.get_backend_name() == "postgresql" else ("own",)


@cache
def taken_in(name: str) -> Fill:
    """A book with that scenario in it."""

    def fill(shelf: DatabaseShelf) -> None:
        with shelf.writing() as book:
            take_in(book, doing(MANAGER), load(name))

    return fill


@contextmanager
def shelf_with(name: str, folder: Path, queue: QueueName) -> Iterator[tuple[DatabaseShelf, str]]:
    """A fresh shelf with that scenario taken in, and its URL; closed and gone afterwards."""
    if queue not in queues_here():
        pytest.skip("procrastinate needs PostgreSQL")
    with fresh_url(folder, taken_in(name)) as url:
        shelf = open_shelf(url, queue=queue)
        try:
            yield shelf, url
        finally:
            shelf.close()


def before(week: Week) -> datetime:
    """The Friday before it."""
    return datetime.combine(week.monday, time(12), UTC) - timedelta(days=3)


def asked_for(shelf: DatabaseShelf, week: Week, *, seconds: float = 30) -> Job:
    """Asked for three days before the week."""
    with shelf.writing() as book:
        return ask(book, doing(MANAGER, before(week)), week, seconds=seconds)


def seen(shelf: DatabaseShelf, number: int) -> Job:
    with shelf.reading() as book:
        found = book.jobs.find(number)
    assert found is not None
    return found
