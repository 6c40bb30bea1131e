"""A column names its unit, and may choose it: field_kg or field_lb, drying_h or drying_min."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal

from scheduler import units

Number = int | float
Convert = Callable[[Decimal], Number]


def _times(factor: int) -> Convert:
    def convert(value: Decimal) -> Number:
        product = value * factor
        return int(product) if product == product.to_integral_value() else float(product)

    return convert


def _by(conversion: Callable[[float], Number]) -> Convert:
    return lambda value: conversion(float(value))


def _difference(fahrenheit: float) -> float:
    return units.celsius(fahrenheit) - units.celsius(0)


_same, _thousandfold = _times(1), _times(1000)
_from_kg, _from_lb = _by(units.grams), _by(units.grams_from_lb)
_from_f = _by(units.celsius)

# By the end of the field's own name (base unit): the other endings a column may have.
_ENDINGS: dict[str, dict[str, Convert]] = {
    "g_per_h": {"kg_per_h": _from_kg, "lb_per_h": _from_lb},
    "g_per_m2": {"kg_per_m2": _thousandfold},
    "g_per_l": {"kg_per_l": _thousandfold},
    "_g": {"_kg": _from_kg, "_lb": _from_lb},
    "tolerance_c": {"tolerance_f": _by(_difference)},
    "_c": {"_f": _from_f},
    "_s": {"_h": _by(units.seconds_from_hours), "_min": _by(units.seconds_from_minutes)},
    "_cm2": {"_m2": _times(10_000)},
    "watts": {"kw": _thousandfold},
    "celsius": {"fahrenheit": _from_f},
}


def number(value: object) -> Decimal | None:
    """A plain decimal number as written, or None for anything else."""
    text = "" if isinstance(value, bool) else str(value).strip()
    return Decimal(text) if re.fullmatch(r"[+-]?\d+(\.\d+)?", text) else None


def spellings(field: str) -> dict[str, Convert]:
    """The names a column may have for this field, each with its conversion; itself last."""
    for ending, others in _ENDINGS.items():
        if field.endswith(ending):
            stem = field.removesuffix(ending)
            return {stem + other: convert for other, convert in others.items()} | {field: _same}
    return {}


def columns(field: str) -> tuple[str, ...]:
    """The names a column may have for this field."""
    return tuple(spellings(field)) or (field,)


def in_base_units(
    given: Mapping[str, object], fields: Iterable[str], *, as_text: bool
) -> dict[str, object]:
    """The same row with every quantity in its field's own name and unit; what is no number stays.

    as_text: cells are text, so text may be a number; in TOML and JSON it may not.
    """
    row = dict(given)
    for field in fields:
        ways = spellings(field)
        # Its own name first: a second one stays behind and is then refused.
        spelled = next((name for name in (field, *ways) if ways and name in row), None)
        if spelled is not None:
            value = row.pop(spelled)
            amount = None if isinstance(value, str) and not as_text else number(value)
            row[field] = value if amount is None else _converted(amount, ways[spelled])
    return row


def _converted(amount: Decimal, convert: Convert) -> Number | str:
    """What is too large for any weight or time stays as written, and is then refused."""
    try:
        return convert(amount)
    except (OverflowError, ValueError):
        return f"{amount}"


def as_spelled(field: str, given: Mapping[str, object]) -> str:
    """The column of the row that holds the field; all its names where there is none."""
    names = columns(field)
    return next((name for name in names if name in given), " or ".join(names))
