"""Column types: instants, weeks, and any domain value as JSON."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any, Generic, TypeVar

from sqlalchemy import JSON, DateTime, Dialect, String, TypeDecorator
from sqlalchemy.dialects.postgresql import JSONB

from scheduler.domain.clock import Week
from scheduler.plan_file import value_from_json, value_to_json

Kind = TypeVar("Kind")

DOCUMENT = JSON(none_as_null=True).with_variant(JSONB(none_as_null=True), "postgresql")


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
        return None if value is None else Week.parse(value)


class Value(TypeDecorator[Kind], Generic[Kind]):
    """A domain value of that kind, written and checked as in a plan file."""

    impl = DOCUMENT
    cache_ok = True

    def __init__(self, kind: type[Kind]) -> None:
        super().__init__()
        self.kind = kind

    def process_bind_param(self, value: Kind | None, dialect: Dialect) -> Any:
        return None if value is None else value_to_json(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> Kind | None:
        return None if value is None else value_from_json(self.kind, value, self.kind.__name__)


class Names(TypeDecorator[tuple[str, ...]]):
    """A few names as a JSON list."""

    impl = DOCUMENT
    cache_ok = True

    def process_bind_param(self, value: tuple[str, ...] | None, dialect: Dialect) -> Any:
        return None if value is None else list(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> tuple[str, ...] | None:
        return None if value is None else tuple(value)
