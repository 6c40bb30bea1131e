"""The published values this kitchen arithmetic is checked against, each row with its source."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

Row = dict[str, str]


def names() -> tuple[str, ...]:
    """Every file of values, without its ending, in order of name."""
    return tuple(
        sorted(
            each.name.removesuffix(".csv")
            for each in files(__name__).iterdir()
            if each.name.endswith(".csv")
        )
    )


@cache
def rows(name: str) -> tuple[Row, ...]:
    """The rows of one file, in its order; a figure that was not found is an empty string."""
    text = files(__name__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def bounds(text: str) -> tuple[float, float]:
    """A printed range as lower and upper bound: "2-3", "<1" (from nought), or one figure twice."""
    if text.startswith("<"):
        return 0.0, float(text[1:])
    low, _, high = text.partition("-")
    return float(low), float(high or low)
