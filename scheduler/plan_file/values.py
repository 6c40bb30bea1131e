"""Domain values as JSON values, and times brought back to UTC after reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, date, datetime, time
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from scheduler.domain.clock import Span
from scheduler.errors import InputFault

Value = TypeVar("Value")


def plain(value: Any, zone: ZoneInfo) -> Any:
    """A domain value as JSON values; instants as ISO 8601 with the zone's offset."""
    if isinstance(value, datetime):
        return value.astimezone(zone).isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, ZoneInfo):
        return value.key
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, tuple):
        return [plain(each, zone) for each in value]
    if is_dataclass(value):
        return {each.name: plain(getattr(value, each.name), zone) for each in fields(value)}
    return value


def dotted(path: Sequence[int | str]) -> str:
    """A path inside JSON as people write it: plan.runs[0].start, counted from nought."""
    steps = (f"[{step}]" if isinstance(step, int) else f".{step}" for step in path)
    return "".join(steps).removeprefix(".")


def settled(value: Value, path: str, file: str) -> tuple[Value, list[InputFault]]:
    """The same value with every instant in UTC, and faults for instants without an offset."""
    faults: list[InputFault] = []
    return _settle(value, path, faults, file), faults


def _settle(value: Any, path: str, faults: list[InputFault], file: str) -> Any:
    if isinstance(value, datetime):
        if value.tzinfo is None:
            faults.append(InputFault(file, None, path, "has no offset; end it in Z or +hh:mm"))
            return value.replace(tzinfo=UTC)
        return value.astimezone(UTC)
    if isinstance(value, tuple):
        return tuple(
            _settle(each, f"{path}[{place}]", faults, file) for place, each in enumerate(value)
        )
    if not is_dataclass(value) or isinstance(value, type):
        return value
    parts = {
        each.name: _settle(getattr(value, each.name), f"{path}.{each.name}", faults, file)
        for each in fields(value)
    }
    if isinstance(value, Span) and parts["end"] < parts["start"]:
        faults.append(InputFault(file, None, path, "ends before it starts"))
    return replace(value, **parts)
