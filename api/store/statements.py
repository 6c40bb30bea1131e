"""Statements about one table, composed once and told their values each time they are used.

Composing one takes longer than SQLite takes to answer it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any, Literal

from sqlalchemy import (
    ColumnElement,
    Insert,
    Select,
    Update,
    and_,
    bindparam,
    insert,
    select,
    update,
)

from api.store.tables import Table

Held = Literal["none", "one", "several"]  # a column is null, one value, one of several
AFTER, MOST, SEEN = "after ", "most ", "seen "  # what is told beside the columns of that name


@dataclass(frozen=True, eq=False)
class About:
    """The statements about a table: names are its columns, in the order of a record's fields."""

    table: Any
    names: tuple[str, ...]
    key: tuple[str, ...]
    order: str
    keyed: Select[Any]
    every: Select[Any]
    insert: Insert
    update: Update

    @lru_cache(maxsize=64)  # noqa: B019 there is one of these a table, for good
    def where(
        self, held: tuple[tuple[str, Held], ...], *, after: bool = False, limited: bool = False
    ) -> Select[Any]:
        """In order; told the columns' values, and AFTER and MOST where so wanted."""
        order = self.table.c[self.order]
        found = self._held(held).order_by(order)
        if after:
            found = found.where(order > bindparam(AFTER, type_=order.type))
        return found.limit(bindparam(MOST)) if limited else found

    @lru_cache(maxsize=64)  # noqa: B019 as above
    def last(self, held: tuple[tuple[str, Held], ...]) -> Select[Any]:
        """The last of them in order; told the columns' values."""
        return self._held(held).order_by(self.table.c[self.order].desc()).limit(1)

    def _held(self, held: tuple[tuple[str, Held], ...]) -> Select[Any]:
        return _selected(self.table, self.names).where(*(self._is(*each) for each in held))

    def _is(self, name: str, how: Held) -> ColumnElement[bool]:
        column: Any = self.table.c[name]
        if how == "none":
            found = column.is_(None)
        elif how == "one":
            found = column == bindparam(name, type_=column.type)
        else:
            found = column.in_(bindparam(name, type_=column.type, expanding=True))
        return found  # type: ignore[no-any-return]


@lru_cache
def about(row: type[Table], record: Any, order: str) -> About:
    """record: the dataclass that a row holds; order: a column, else the key."""
    table: Any = row.__table__
    names = tuple(each.name for each in fields(record))
    key = tuple(column.name for column in table.primary_key)
    selected = _selected(table, names)
    same = and_(
        *(table.c[name] == bindparam(SEEN + name, type_=table.c[name].type) for name in key)
    )
    return About(
        table=table,
        names=names,
        key=key,
        order=order or key[0],
        keyed=selected.where(same),
        every=selected.order_by(*(table.c[name] for name in key)),
        insert=insert(table),
        update=update(table).where(same),
    )


def _selected(table: Any, names: tuple[str, ...]) -> Select[Any]:
    return select(*(table.c[name] for name in names))
