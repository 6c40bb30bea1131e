"""kitchen.toml read, and the kitchen it describes as the domain knows it."""

from __future__ import annotations

import re
import tomllib
from importlib.resources.abc import Traversable
from typing import Any, TypeVar

from pydantic import ValidationError

from scheduler.domain import kitchen as domain
from scheduler.errors import InputFault
from scheduler.scenario.faults import Checked, as_faults
from scheduler.scenario.kitchen_rows import KitchenFile
from scheduler.scenario.tables import read_text

FILE = "kitchen.toml"
Thing = TypeVar("Thing")


def read_kitchen_file(folder: Traversable, faults: list[InputFault]) -> KitchenFile | None:
    """The checked file, or None and its faults."""
    text = read_text(folder, FILE, faults)
    if text is None:
        return None
    try:
        given = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"at line (\d+)", str(error))
        row = int(line[1]) if line else None
        faults.append(InputFault(FILE, row, None, f"is not TOML: {error}"))
        return None
    try:
        return KitchenFile.model_validate(given)
    except ValidationError as error:
        faults += as_faults(error, FILE, row=None, given=given)
        return None


_LISTED: dict[str, type[Any]] = {
    "groups": domain.Group,
    "dryers": domain.Dryer,
    "steamers": domain.Steamer,
    "chill_tubs": domain.ChillTub,
    "wash_lines": domain.WashLine,
    "tables": domain.Table,
    "benches": domain.PackingBench,
    "freezers": domain.Freezer,
    "meters": domain.Meter,
    "hands": domain.Hand,
    "on_call": domain.OnCall,
}


def to_kitchen(file: KitchenFile) -> domain.Kitchen:
    """The kitchen of a checked file."""
    listed = {
        name: tuple(_made(kind, row) for row in getattr(file, name))
        for name, kind in _LISTED.items()
    }
    return _made(
        domain.Kitchen,
        file.kitchen,
        **listed,
        cold_store=_made(domain.ColdStore, file.cold_store),
        limits=_made(domain.Limits, file.limits),
        fees=_made(domain.Fees, file.fees),
        caps=_made(domain.VotedCaps, file.caps),
        costs=domain.Costs() if file.costs is None else _made(domain.Costs, file.costs),
    )


def _made(kind: type[Thing], row: Checked, **parts: object) -> Thing:
    """A domain value from a row: their names are the same; lists become what cannot be changed."""
    values: dict[str, Any] = {name: getattr(row, name) for name in type(row).model_fields}
    for name, value in values.items():
        if name in ("groups", "wash_down_before"):
            values[name] = frozenset(value)
        elif isinstance(value, list):
            values[name] = tuple(value)
    return kind(**values, **parts)
