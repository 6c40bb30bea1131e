"""The tables."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, DateTime, Dialect, Index, MetaData, TypeDecorator
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column


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


class Table(DeclarativeBase):
    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map = {  # noqa: RUF012 SQLAlchemy reads it from the class
        dict[str, Any]: JSON().with_variant(JSONB(), "postgresql"),
        datetime: UtcDateTime(),
    }


class PlanRow(Table):
    """One version of a week's plan; document is a whole plan file. Rows are never changed."""

    __tablename__ = "plans"
    __table_args__ = (Index(None, "week", "id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    week: Mapped[str]  # ISO week: 2026-W34
    kitchen: Mapped[str]
    laid_out_at: Mapped[datetime]
    state: Mapped[str]
    document: Mapped[dict[str, Any]]
