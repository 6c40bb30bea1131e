"""JSON text into domain values: pydantic's findings told as faults, instants in UTC."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from pydantic import BaseModel, ConfigDict, ValidationError, create_model

from scheduler.errors import BadInput, InputFault
from scheduler.plan_file.values import dotted, plain, settled
from scheduler.scenario.faults import in_words

Model = TypeVar("Model", bound=BaseModel)
Value = TypeVar("Value")
_UTC = ZoneInfo("UTC")


class Strict(BaseModel):
    """Nothing unknown, nothing turned from one type into another."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


def checked(model: type[Model], text: str, file: str) -> Model:
    """The text as that model; BadInput with every finding under its path in the file."""
    try:
        return model.model_validate_json(text)
    except ValidationError as error:
        faults = (
            InputFault(file, None, dotted(each["loc"]) or None, in_words({**each}, each["input"]))
            for each in error.errors()
        )
        raise BadInput(tuple(faults)) from None


def value_to_json(value: object) -> Any:
    """Any domain value as JSON values, instants in UTC."""
    return plain(value, _UTC)


def value_from_json(kind: type[Value], given: object, file: str) -> Value:
    """The inverse of value_to_json; BadInput where it is no such value.

    Values are frozen: the same JSON gives the same value again, read once.
    """
    text = json.dumps({"value": given})
    return _read(kind, text, file)  # type: ignore[arg-type,no-any-return] # a class can be hashed


@lru_cache(maxsize=1024)
def _read(kind: Any, text: str, file: str) -> Any:
    read = checked(_holder(kind), text, file)
    value, faults = settled(getattr(read, "value"), "value", file)  # noqa: B009 not known to mypy
    if faults:
        raise BadInput(tuple(faults))
    return value


@lru_cache
def _holder(kind: Any) -> type[Strict]:
    return create_model(f"Kept{kind.__name__}", __base__=Strict, value=(kind, ...))
