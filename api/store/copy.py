"""A copy of the whole book as lines of JSON: made while others write, read back into an empty one.

The same copy fits SQLite and PostgreSQL. Log-in sessions and the key of cookies stay behind, and so
do lay-outs under way: they are asked for again.
"""

from __future__ import annotations

import gzip
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, Integer, inspect, text
from sqlalchemy.orm import Session

from api.records.plans import PlanState
from api.store.book import DatabaseBook
from api.store.engine import FOR_ITS_OWNER
from api.store.records import DatabaseRecords
from api.store.tables import PlanRow, Table
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault
from scheduler.plan_file import value_from_json, value_to_json

HEAD = {"format": "commonrack-book", "version": 1}
PAGES = (
    "settings", "growers", "helpers", "papers", "cards", "approvals", "people", "own_settings",
    "tokens", "notes", "standing_lots", "lots", "plans", "weeks", "turns", "happenings", "outages",
    "wishes", "messages", "deeds", "answered_once",
)  # fmt: skip  # each behind those it refers to


@dataclass(frozen=True, slots=True)
class _PlanPage:
    """A plan as it is kept, its document unread."""

    id: int
    week: Week
    kitchen: str
    laid_out_at: datetime
    state: PlanState
    notes_version: int
    laid_out_from: int | None
    laid_out_by: str
    document: dict[str, Any]


def write_copy(engine: Engine, path: Path) -> int:
    """Write the whole book as it is at one instant, whole or not at all; how many records."""
    beside = path.with_name(f"{path.name}.part")
    beside.unlink(missing_ok=True)
    beside.touch(mode=FOR_ITS_OWNER)
    count = 0
    with Session(engine) as session, gzip.open(beside, "wt", encoding="utf-8") as out:
        print(json.dumps(HEAD), file=out)
        for count, line in enumerate(_lines(session), 1):  # noqa: B007 the last one counts
            print(line, file=out)
    beside.replace(path)
    return count


def _lines(session: Session) -> Iterator[str]:
    if session.get_bind().dialect.name == "postgresql":
        session.execute(text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ"))
    for page in PAGES:
        for record in _pages(session, page).every():
            if getattr(record, "kind", "") != "session":
                told = {"page": page, "record": value_to_json(record)}
                yield json.dumps(told, ensure_ascii=False)


def read_copy(session: Session, path: Path) -> int:
    """Put a copy into an empty book; how many records. BadInput for anything else."""
    if any(_pages(session, page).last() is not None for page in PAGES):
        raise _bad("the book is not empty; restore into a new database")
    count = 0
    with gzip.open(path, "rt", encoding="utf-8") as lines:
        if next(lines, "").strip() != json.dumps(HEAD):
            raise _bad("is no copy of a book")
        for count, line in enumerate(lines, 1):
            _put(session, json.loads(line), f"record {count}")
    _count_on(session)
    return count


def _put(session: Session, told: dict[str, Any], where: str) -> None:
    pages = _pages(session, told["page"])
    pages.add(value_from_json(pages.record, told["record"], where))
    session.expunge_all()  # plans are large


def _pages(session: Session, page: str) -> DatabaseRecords[Any]:
    if page == "plans":
        return DatabaseRecords(session, PlanRow, _PlanPage)
    return getattr(DatabaseBook(session), page)  # type: ignore[no-any-return]


def _count_on(session: Session) -> None:
    """PostgreSQL's counters go on behind the numbers that were put in by hand."""
    if session.get_bind().dialect.name != "postgresql":
        return
    for mapper in Table.registry.mappers:
        (column, *others) = inspect(mapper).primary_key
        if not others and isinstance(column.type, Integer):
            table, name = column.table, column.name
            session.execute(
                text(
                    f"SELECT setval(pg_get_serial_sequence('{table}', '{name}'), "
                    f"(SELECT coalesce(max({name}), 0) + 1 FROM {table}), false)"
                )
            )


def _bad(message: str) -> BadInput:
    return BadInput((InputFault("copy", None, None, message),))
