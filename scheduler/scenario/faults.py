"""From what pydantic found wrong to faults that name file, row and field in plain words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError, model_validator

from scheduler.errors import InputFault
from scheduler.scenario.quantities import as_spelled, in_base_units

_WORDS = {
    "json_invalid": "is not JSON: {error}",
    "unexpected_keyword_argument": "is not known here",
    "missing_argument": "is missing",
    "datetime_type": "must be a date and time with its offset",
    "datetime_from_date_parsing": "must be a date and time with its offset",
    "missing": "is missing",
    "extra_forbidden": "is not known here, or says again what another one says",
    "int_parsing": "must be a whole number",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "float_parsing": "must be a number",
    "float_type": "must be a number",
    "finite_number": "must be a number",
    "bool_parsing": "must be yes or no",
    "bool_type": "must be true or false",
    "string_type": "must be text",
    "string_too_short": "must not be empty",
    "list_type": "must be a list",
    "model_type": "must be a table of keys",
    "date_from_datetime_parsing": "must be a date such as 2026-08-17",
    "date_parsing": "must be a date such as 2026-08-17",
    "date_type": "must be a date such as 2026-08-17",
    "greater_than": "must be more than {gt:g}",
    "greater_than_equal": "must be {ge:g} or more",
    "less_than": "must be less than {lt:g}",
    "less_than_equal": "must be {le:g} or less",
    "too_short": "needs at least {min_length}",
    "literal_error": "must be one of {expected}",
    "value_error": "{error}",
}
_TOLD_WHOLE = ("missing", "missing_argument", "extra_forbidden", "json_invalid")
_NO_NUMBER = ("int_parsing", "int_type")
_SHOWN = 60  # characters of what was found


class Checked(BaseModel):
    """A row or table of a file, its quantities brought to base units before they are checked."""

    model_config = ConfigDict(
        extra="forbid", allow_inf_nan=False, str_strip_whitespace=True, frozen=True
    )

    @model_validator(mode="before")
    @classmethod
    def _to_base_units(cls, given: Any) -> Any:
        if not isinstance(given, dict):
            return given
        return in_base_units(given, cls.model_fields, as_text=not cls.model_config.get("strict"))


def in_words(error: Mapping[str, Any], found: object) -> str:
    """One of pydantic's findings as half a sentence, with what was found."""
    kind = error["type"]
    message = _WORDS[kind].format(**error.get("ctx", {})) if kind in _WORDS else error["msg"]
    shown = str(found)[:_SHOWN]
    if kind in _TOLD_WHOLE or isinstance(found, dict | list) or repr(shown) in message:
        return str(message)
    return f"{message}; found {shown!r}"


def placed(where: Sequence[int | str], given: object) -> tuple[str, object]:
    """Where in nested tables a finding lies, in the names used there, and what stands there.

    The place reads dryers[D2].coolest_f: a table of a list is called by its id.
    """
    path = ""
    for step in where:
        inner: object = None
        if isinstance(step, int) and isinstance(given, Sequence):
            inner = given[step]
            path += f"[{_called(inner, step)}]"
        elif isinstance(given, Mapping):
            spelled = as_spelled(str(step), given)
            inner = given.get(spelled)
            path += f".{spelled}"
        given = inner
    return path.removeprefix("."), given


def _called(item: object, index: int) -> str:
    name = item.get("id", item.get("name")) if isinstance(item, Mapping) else None
    return str(name) if name else f"item {index + 1}"


def as_faults(
    error: ValidationError, file: str, *, row: int | None, given: object
) -> list[InputFault]:
    """Every finding as a fault of that file and row."""
    return [_as_fault({**each}, file, row, given) for each in error.errors()]


def _as_fault(error: Mapping[str, Any], file: str, row: int | None, given: object) -> InputFault:
    field, found = placed(error["loc"], given)
    message = in_words(error, found)
    if not field.endswith(str(error["loc"][-1])) and error["type"] in _NO_NUMBER:
        message = message.replace("a whole number", "a number")  # only grams need be whole
    return InputFault(file, row, field or None, message)
