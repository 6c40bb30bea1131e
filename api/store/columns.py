"""Column types: instants, weeks, and any domain value as JSON."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache
from typing import Any, Generic, TypeVar

from pydantic import TypeAdapter
from sqlalchemy import JSON, DateTime, Dialect, String, TypeDecorator
from sqlalchemy.dialects.postgresql import JSONB

from scheduler.domain.clock import Week
from scheduler.plan_file import value_from_json, value_to_json

Kind = TypeVar("Kind")

_anything = TypeAdapter[Any](Any)  # many times as fast as the json of the standard library
DOCUMENT = JSON(none_as_null=True).with_variant(JSONB(none_as_null=True), "postgresql")


def json_to_text(value: Any) -> str:
    """How values are written in all columns of documents."""
    return _anything.dump_json(value).decode()


def json_from_text(text: str | bytes) -> Any:
    return _anything.validate_json(text)


class UtcDateTime(TypeDecorator[datetime]):
    """Aware in, aware out, in UTC in between; SQLite itself would forget the zone."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is not None and value.tzinfo is None:
            raise ValueError("a date-time without a zone cannot be kept")
        return None if value is None else value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class IsoWeek(TypeDecorator[Week]):
    """2026-W34: sorts as text as it does in time."""

    impl = String
    cache_ok = True

    def process_bind_param(self, value: Week | None, dialect: Dialect) -> str | None:
        return None if value is None else str(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Week | None:
        return None if value is None else _week(value)


_week = lru_cache(maxsize=1_000)(Week.parse)


class Value(TypeDecorator[Kind], Generic[Kind]):
    """A domain value of that kind, written and checked as in a plan file."""

    impl = DOCUMENT
    cache_ok = True

    def __init__(self, kind: type[Kind]) -> None:
        super().__init__()
        self.kind = kind

    def process_bind_param(self, value: Kind | None, dialect: Dialect) -> Any:
        return None if value is None else value_to_json(value)

    def result_processor(self, dialect: Dialect, coltype: object) -> Any:
        """Out of text, as SQLite keeps it, the same text is read once."""

        def read(value: Any) -> Kind | None:
            if isinstance(value, str):
                return _read(self.kind, value)  # type: ignore[arg-type, no-any-return] # can be hashed
            return None if value is None else value_from_json(self.kind, value, self.kind.__name__)

        return read


@lru_cache(maxsize=1_000)
def _read(kind: Any, text: str) -> Any:
    return value_from_json(kind, json_from_text(text), kind.__name__)


class Names(TypeDecorator[tuple[str, ...]]):
    """A few names as a JSON list."""

    impl = DOCUMENT
    cache_ok = True

    def process_bind_param(self, value: tuple[str, ...] | None, dialect: Dialect) -> Any:
        return None if value is None else list(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> tuple[str, ...] | None:
        return None if value is None else tuple(value)
