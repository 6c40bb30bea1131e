"""Records in tables: any frozen record whose fields are the columns of a row."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Any, Generic, TypeVar

from sqlalchemy import Connection, Select
from sqlalchemy.orm import Session

from api.store.statements import AFTER, MOST, SEEN, Held, about
from api.store.tables import Table

Record = TypeVar("Record")
NOT_GIVEN_YET = 0  # a number that the database gives
FEW = 20


class DatabaseRecords(Generic[Record]):
    """The port Records over one table, in the order of the column named."""

    def __init__(
        self, session: Session, row: type[Table], record: type[Record], order: str = ""
    ) -> None:
        self.session = session
        self.record = record
        self.about = about(row, record, order)  # type: ignore[arg-type] # every class can be hashed

    def find(self, *key: object) -> Record | None:
        return self._first(self.about.keyed, self._seen(key))

    def where(
        self, *, after: object = None, limit: int | None = None, **equals: Any
    ) -> tuple[Record, ...]:
        told = _told(equals)
        told |= {} if after is None else {AFTER: after}
        told |= {} if limit is None else {MOST: limit}
        wanted = self.about.where(_held(equals), after=AFTER in told, limited=MOST in told)
        return tuple(self.record(*row) for row in self._connection.execute(wanted, told))

    def every(self) -> Iterator[Record]:
        """All of them, a few at a time."""
        wanted = self.about.every.execution_options(yield_per=FEW)
        return (self.record(*row) for row in self._connection.execute(wanted))

    def last(self, **equals: Any) -> Record | None:
        return self._first(self.about.last(_held(equals)), _told(equals))

    def add(self, record: Record) -> Record:
        values = self._values(record)
        given = values.get("number") != NOT_GIVEN_YET
        if not given:
            del values["number"]
        done = self._connection.execute(self.about.insert, values)
        if not given:
            values["number"] = next(iter(done.inserted_primary_key or ()))
        return self.record(**values)

    def replace(self, record: Record) -> None:
        values = self._values(record)
        seen = self._seen(tuple(values[name] for name in self.about.key))
        if self._connection.execute(self.about.update, values | seen).rowcount == 0:
            self.add(record)

    @cached_property
    def _connection(self) -> Connection:
        """The session's, for the one transaction that a book is open."""
        return self.session.connection()

    def _first(self, wanted: Select[Any], told: dict[str, Any]) -> Record | None:
        row = self._connection.execute(wanted, told).first()
        return None if row is None else self.record(*row)

    def _seen(self, key: tuple[object, ...]) -> dict[str, object]:
        return {SEEN + name: value for name, value in zip(self.about.key, key, strict=True)}

    def _values(self, record: Record) -> dict[str, Any]:
        return {name: getattr(record, name) for name in self.about.names}


def _told(equals: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in equals.items() if value is not None}


def _held(equals: dict[str, Any]) -> tuple[tuple[str, Held], ...]:
    """Against what each column is held."""
    return tuple(
        (name, "none" if value is None else "several" if isinstance(value, tuple) else "one")
        for name, value in equals.items()
    )
