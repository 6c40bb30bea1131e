"""Writes what is asked as a scenario folder, so that a made-up week can pass through the loader."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

from scheduler.domain.asked import Asked
from scheduler.domain.clock import WeeklyHours
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.process_card import ProcessCard
from scheduler.scenario.hours import DAYS
from scheduler.scenario.kitchen_rows import STATIONS

NO_MONEY = (
    "late_from_hour", "night_from_hour", "night_to_hour", "non_member_percent", "late_percent",
    "no_show_percent", "cancel_by_hour", "dryer_years", "steamer_years", "supply_years",
    "weeks_open", "source",
)  # fmt: skip
LISTS = ("groups", *STATIONS, "hands", "on_call")


def write_scenario(folder: Path, asked: Asked) -> Path:
    """The four files of an Asked with nothing happened; every value in its base unit."""
    folder.mkdir()
    (folder / "kitchen.toml").write_text("\n".join(_kitchen(asked)), encoding="utf-8")
    _table(folder / "process_cards.csv", map(_card, asked.cards))
    _table(folder / "growers.csv", map(_grower, asked.growers))
    _table(folder / "harvest_notes.csv", (_note(asked, note) for note in asked.notes))
    return folder


def _kitchen(asked: Asked) -> Iterable[str]:
    kitchen = {name: getattr(asked.kitchen, name) for name in asked.kitchen.__slots__}
    fees, costs = asdict(kitchen.pop("fees")), asdict(kitchen.pop("costs"))
    listed = {name: kitchen.pop(name) for name in LISTS}
    single = {name: asdict(kitchen.pop(name)) for name in ("cold_store", "limits", "caps")}
    yield from _lines("[scenario]", {"title": asked.title, "week": asked.week})
    yield from _lines("[kitchen]", kitchen)
    for name, values in single.items():
        yield from _lines(f"[{name}]", values)
    for name, values in (("fees", fees), ("costs", costs)):
        money = {k: v if k in NO_MONEY else v / 100 for k, v in values.items()}
        yield from _lines(f"[{name}]", money)
    for name, rows in listed.items():
        for row in rows:
            values = {field: getattr(row, field) for field in row.__slots__}
            if "weekday" in values:
                values["weekday"] = DAYS[row.weekday]
            yield from _lines(f"[[{name}]]", values)


def _lines(heading: str, values: Mapping[str, Any]) -> Iterable[str]:
    yield heading
    yield from (f"{name} = {_toml(value)}" for name, value in values.items())


def _toml(value: Any) -> str:
    if isinstance(value, bool | int | float):
        return json.dumps(value)
    if isinstance(value, tuple | frozenset):
        return f"[{', '.join(_toml(each) for each in value)}]"
    return json.dumps(_hours(value) if isinstance(value, WeeklyHours) else str(value))


def _hours(hours: WeeklyHours) -> str:
    return f"{DAYS[hours.weekday]} {hours.opens:%H:%M}-{hours.closes:%H:%M}"


def _card(card: ProcessCard) -> dict[str, Any]:
    values = asdict(card)
    values.update(values.pop("dry_check"))
    return values


def _grower(grower: Grower) -> dict[str, Any]:
    named = {name: getattr(grower, name) for name in ("id", "name", "farm", "shares", "people")}
    return named | {"cannot": "; ".join(map(_hours, grower.cannot))}


def _note(asked: Asked, note: HarvestNote) -> dict[str, Any]:
    values = asdict(note)
    for name in ("arrives", "latest_start"):
        instant: datetime = values[name]
        values[name] = instant.astimezone(asked.kitchen.zone).isoformat()
    return values


def _table(path: Path, rows: Iterable[dict[str, Any]]) -> None:
    listed = list(rows)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, fieldnames=list(listed[0]))
        writer.writeheader()
        for row in listed:
            writer.writerow({k: _yes_no(v) if isinstance(v, bool) else v for k, v in row.items()})


def _yes_no(value: bool) -> str:
    return "yes" if value else "no"
