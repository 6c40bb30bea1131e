"""Tries of weeks kept in a file while a season is supposed, so that whoever stops loses none."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from scheduler.domain.kitchen import Costs
from scheduler.errors import BadInput
from scheduler.plan_file import value_from_json, value_to_json
from scheduler.replay.supposed import Trial
from scheduler.season.records import Posted, Season


def mark_of(season: Season, steps: int) -> str:
    """Alike only for the same posted weeks tried with the same steps, at whatever prices and in
    whatever words."""
    told = [value_to_json(_as_tried(week.posted[-1])) for week in season.weeks]
    return sha256(json.dumps([steps, told], sort_keys=True).encode()).hexdigest()


def _as_tried(posted: Posted) -> Posted:
    """Without prices, and without what is told of those that wait: no try depends on either."""
    kitchen = replace(posted.asked.kitchen, costs=Costs())
    plan = replace(posted.plan, waiting=())
    return replace(posted, asked=replace(posted.asked, kitchen=kitchen), plan=plan)


def read_trials(path: Path, mark: str) -> tuple[Trial, ...]:
    """Those kept under that mark; none where the file is missing, of another, or spoilt."""
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
        if kept["mark"] != mark:
            return ()
        return value_from_json(tuple[Trial, ...], kept["trials"], path.name)
    except (FileNotFoundError, ValueError, LookupError, TypeError, BadInput):
        return ()


def write_trials(path: Path, mark: str, trials: Iterable[Trial]) -> None:
    """The file, whole or not at all."""
    beside = path.with_name(f"{path.name}.part")
    text = json.dumps({"mark": mark, "trials": value_to_json(tuple(trials))})
    beside.write_text(text, encoding="utf-8")
    beside.replace(path)
