"""The suites of published instances: how their files are read, and the best that is known."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from scheduler.errors import BadInput, InputFault
from scheduler.races.invented import flexible, flow_shop, ft06, invented_ovens
from scheduler.shops import read
from scheduler.shops.chain import Shop
from scheduler.shops.ovens import Ovens
from scheduler.shops.read_ovens import ovens

Instance = Shop | Ovens
BEST_FILE = "best.csv"


class Suite(StrEnum):
    """Suites of published instances by name."""

    OVENS = "ovens"
    JOB_SHOP = "jobshop"
    FLEXIBLE = "flexible"
    FLOW_SHOP = "flowshop"


# Best known lengths, by suite: names are the same for other shops. ft: Fisher and Thompson
# 1963; la: Lawrence 1984; all closed, in Jain and Meeran, European Journal of Operational Research
# 113, 1999. mk: Brandimarte 1993, closed since, in Schutt, Feydy and Stuckey, CPAIOR 2013.
BEST: dict[Suite, dict[str, float]] = {
    Suite.JOB_SHOP: {
        "ft06": 55, "ft10": 930, "ft20": 1165,
        "la01": 666, "la02": 655, "la03": 597, "la04": 590, "la05": 593,
        "la06": 926, "la07": 890, "la08": 863, "la09": 951, "la10": 958,
    },
    Suite.FLEXIBLE: {"mk01": 40, "mk02": 26, "mk03": 204},
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Kind:
    ending: str
    read: Callable[[Path], Instance]
    own: Callable[[], Iterator[Instance]]


SUITES: dict[Suite, _Kind] = {
    Suite.OVENS: _Kind(".dzn", ovens, invented_ovens),
    Suite.JOB_SHOP: _Kind(".txt", read.job_shop, ft06),
    Suite.FLEXIBLE: _Kind(".txt", read.flexible_job_shop, flexible),
    Suite.FLOW_SHOP: _Kind(".txt", read.hybrid_flow_shop, flow_shop),
}


@dataclass(frozen=True, slots=True)
class Known:
    """An instance and the best that is known of it; None: nothing is."""

    instance: Instance
    best: float | None


def instances(suite: Suite, folders: str) -> tuple[Known, ...]:
    """From files or folders with commas between, by name; without any, the few that come with
    Commonrack: the published ft06, and invented ones.

    A best.csv (instance,best) in a folder says what is known of its files. BadInput where there
    is no such place, or nothing of the suite in it.
    """
    kind, published = SUITES[suite], BEST.get(suite, {})
    if not folders:
        return tuple(Known(each, published.get(each.name)) for each in kind.own())
    found = []
    for place in map(Path, folders.split(",")):
        best = published | _best(place if place.is_dir() else place.parent)
        for path in _files(place, kind.ending):
            instance = kind.read(path)
            found.append(Known(instance, best.get(instance.name)))
    return tuple(found)


def _files(place: Path, ending: str) -> list[Path]:
    if place.is_file():
        return [place]
    found = sorted(place.glob(f"*{ending}"), key=lambda path: (len(path.stem), path.stem))
    if not found:
        message = f"holds no {ending} files; give a folder or files, with commas between"
        raise BadInput((InputFault("--instances", None, str(place), message),))
    return found


def _best(folder: Path) -> dict[str, float]:
    path = folder / BEST_FILE
    if not path.exists():
        return {}
    best = {}
    with path.open(newline="", encoding="utf-8") as lines:
        for row, line in enumerate(csv.DictReader(lines), 2):
            try:
                best[line["instance"]] = float(line["best"])
            except (KeyError, TypeError, ValueError):
                message = "needs the columns instance and best, a number"
                raise BadInput((InputFault(str(path), row, None, message),)) from None
    return best
