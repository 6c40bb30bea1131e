"""Records in tables: any frozen record whose fields are the columns of a row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from functools import lru_cache
from typing import Any, Generic, TypeVar

from sqlalchemy import Select, inspect, select
from sqlalchemy.orm import Session

from api.store.tables import Table

Record = TypeVar("Record")
NOT_GIVEN_YET = 0  # a number that the database gives


class DatabaseRecords(Generic[Record]):
    """The port Records over one table, in the order of the column named."""

    def __init__(
        self, session: Session, row: type[Table], record: type[Record], order: str = ""
    ) -> None:
        self.session = session
        self.row = row
        self.record = record
        self.order = getattr(row, order or _key(row))
        self.names = _names(record)  # type: ignore[arg-type] # every class can be hashed

    def find(self, *key: object) -> Record | None:
        row = self.session.get(self.row, key)
        return None if row is None else self._from_row(row)

    def where(
        self, *, after: object = None, limit: int | None = None, **equals: Any
    ) -> tuple[Record, ...]:
        wanted = self._wanted(equals).order_by(self.order).limit(limit)
        if after is not None:
            wanted = wanted.where(self.order > after)
        return tuple(self._from_row(row) for row in self.session.scalars(wanted))

    def every(self) -> Iterator[Record]:
        """All of them, a few at a time."""
        key = inspect(self.row).primary_key
        rows = select(self.row).order_by(*key).execution_options(yield_per=20)
        return (self._from_row(row) for row in self.session.scalars(rows))

    def last(self, **equals: Any) -> Record | None:
        wanted = self._wanted(equals).order_by(self.order.desc()).limit(1)
        row = self.session.scalars(wanted).first()
        return None if row is None else self._from_row(row)

    def add(self, record: Record) -> Record:
        row = self._to_row(record)
        self.session.add(row)
        self.session.flush()
        return self._from_row(row)

    def replace(self, record: Record) -> None:
        self.session.merge(self._to_row(record))
        self.session.flush()

    def _wanted(self, equals: dict[str, Any]) -> Select[Table]:
        wanted = select(self.row)
        for name, value in equals.items():
            column = getattr(self.row, name)
            wanted = wanted.where(
                column.in_(value) if isinstance(value, tuple) else column == value
            )
        return wanted

    def _to_row(self, record: Record) -> Table:
        values = {name: getattr(record, name) for name in self.names}
        if values.get("number") == NOT_GIVEN_YET:
            del values["number"]
        return self.row(**values)

    def _from_row(self, row: Table) -> Record:
        return self.record(**{name: getattr(row, name) for name in self.names})


@lru_cache
def _key(row: type[Table]) -> str:
    return str(inspect(row).primary_key[0].name)


@lru_cache
def _names(record: Any) -> tuple[str, ...]:
    return tuple(each.name for each in fields(record))
