"""Plans are kept whole, every version, on SQLite and on PostgreSQL alike."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from threading import Thread

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import text

from api.services.weeks import notes_changed, week_entry
from api.settings import DATABASE_URL
from api.store import DatabaseShelf, open_shelf
from api.store.tables import Table
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.scenario import load
from tests.databases import fresh_url
from tests.printed_plan import printed_plan
from tests.shelves import FRIDAY, fresh_shelf, put
from tests.worked_day import worked_day


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path) as found:
        yield found


@pytest.fixture(scope="module")
def august() -> Asked:
    return load("august")


def test_the_database_is_the_one_that_was_asked_for(shelf: DatabaseShelf):
    wanted = os.environ.get(DATABASE_URL, "sqlite").partition(":")[0]
    assert shelf.engine.dialect.name == wanted.partition("+")[0]


def test_a_plan_comes_back_as_it_went_in(shelf: DatabaseShelf, august: Asked):
    plan = worked_day(august)
    number = put(shelf, august, plan)
    with shelf.reading() as book:
        kept = book.plans.newest_of(august.week)
    assert kept is not None
    assert (kept.number, kept.state, kept.laid_out_at) == (number, "pencilled", FRIDAY)
    assert (kept.asked, kept.plan) == (august, plan)


def test_every_version_stays_and_the_newest_answers(shelf: DatabaseShelf, august: Asked):
    first = put(shelf, august, worked_day(august))
    second = put(shelf, august, printed_plan(august))
    with shelf.reading() as book:
        kept = book.plans.newest_of(august.week)
    assert kept is not None
    assert first < second == kept.number
    assert kept.plan == printed_plan(august)
    with shelf.engine.connect() as connection:
        assert connection.scalar(text("SELECT count(*) FROM plans")) == 2


def test_weeks_are_told_in_order_and_the_newest_by_when_it_was_laid_out(
    shelf: DatabaseShelf, august: Asked
):
    later = replace(august, week=Week(2026, 35))
    put(shelf, later, replace(printed_plan(august), week=later.week, runs=(), waiting=()))
    put(shelf, august, printed_plan(august))
    with shelf.reading() as book:
        assert book.plans.weeks() == (Week(2026, 34), Week(2026, 35))
        newest = book.plans.newest()
    assert newest is not None
    assert newest.plan.week == august.week


def test_an_empty_shelf_has_nothing(shelf: DatabaseShelf, august: Asked):
    with shelf.reading() as book:
        assert (book.plans.newest(), book.plans.newest_of(august.week), book.plans.weeks()) == (
            None,
            None,
            (),
        )


def test_an_error_keeps_nothing(shelf: DatabaseShelf, august: Asked):
    def halfway() -> None:
        with shelf.writing() as book:
            book.plans.add(august, worked_day(august), laid_out_at=FRIDAY, state="pencilled")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        halfway()
    with shelf.reading() as book:
        assert book.plans.newest() is None


def test_a_rehearsal_keeps_nothing_and_the_next_may_write(shelf: DatabaseShelf, august: Asked):
    with shelf.rehearsing() as book:
        notes_changed(book, august.week)
        assert week_entry(book, august.week).notes_version == 1
    with shelf.reading() as book:
        assert week_entry(book, august.week).notes_version == 0
    put(shelf, august, worked_day(august))


def test_instants_come_back_aware_and_in_utc(shelf: DatabaseShelf, august: Asked):
    there = timezone(timedelta(hours=-4))
    put(shelf, august, worked_day(august), laid_out_at=FRIDAY.astimezone(there))
    with shelf.reading() as book:
        kept = book.plans.newest()
    assert kept is not None
    assert kept.laid_out_at == FRIDAY
    assert kept.laid_out_at.utcoffset() == timedelta(0)


def test_an_instant_without_a_zone_is_refused(shelf: DatabaseShelf, august: Asked):
    naive = datetime(2026, 8, 14, 19, 5, tzinfo=UTC).replace(tzinfo=None)
    with pytest.raises(Exception, match="without a zone"):
        put(shelf, august, worked_day(august), laid_out_at=naive)


def test_opening_again_keeps_what_is_there(tmp_path: Path, august: Asked):
    with fresh_url(tmp_path) as url:
        first = open_shelf(url)
        number = put(first, august, worked_day(august))
        first.close()
        again = open_shelf(url)
        with again.reading() as book:
            kept = book.plans.newest()
        again.close()
    assert kept is not None
    assert kept.number == number


def test_the_migrations_make_the_tables_that_the_code_has(shelf: DatabaseShelf):
    with shelf.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Table.metadata) == []


def test_two_who_keep_at_once_both_keep(shelf: DatabaseShelf, august: Asked):
    plan = worked_day(august)
    writers = [Thread(target=put, args=(shelf, august, plan)) for _ in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    with shelf.engine.connect() as connection:
        assert connection.scalar(text("SELECT count(*) FROM plans")) == 4


def test_a_new_file_is_for_its_owner_alone(tmp_path: Path):
    file = tmp_path / "there" / "book.sqlite"
    open_shelf(f"sqlite:///{file}").close()
    assert file.stat().st_mode & 0o777 == 0o600


def test_sqlite_keeps_what_it_acknowledged(tmp_path: Path):
    shelf = open_shelf(f"sqlite:///{tmp_path / 'folder' / 'plans.sqlite'}")
    with shelf.engine.connect() as connection:
        found = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "busy_timeout", "foreign_keys")
        }
    shelf.close()
    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,
        "busy_timeout": 5000,
        "foreign_keys": 1,
    }
