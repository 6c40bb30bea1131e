"""Every row of values is asserted against our functions, or listed with the reason why not."""

import csv
import re
from dataclasses import replace
from pathlib import Path

import pytest

from scheduler.process import reference
from tests.outside import checks, costs

FIRST_LINE = 2  # of a file, below its heading
CHECKS = {
    name: getattr(costs if name == "cost_table" else checks, name) for name in reference.names()
}
ALL = {
    (name, line): row
    for name in reference.names()
    for line, row in enumerate(reference.rows(name), FIRST_LINE)
}
with (Path(__file__).parent / "listed.csv").open(encoding="utf-8", newline="") as lines:
    LISTED = {
        (each["file"], int(line)): each["reason"]
        for each in csv.DictReader(lines)
        for line in each["lines"].split()
    }
ASSERTED = {place: row for place, row in ALL.items() if place not in LISTED}
RANGE = re.compile(r"(-?[\d.]+)-([\d.]+)")


def ranges(row):
    """Lower and upper bound of every range that a row spells, in two columns or in one."""
    for column, low in row.items():
        high = row.get(re.sub(r"_lo(?=_|$)", "_hi", column))
        if low and high and re.search(r"_lo(?=_|$)", column):
            yield float(low), float(high)
        elif found := RANGE.fullmatch(low):
            yield float(found[1]), float(found[2])


def name_of(place):
    return f"{place[0]} {place[1]}"


@pytest.mark.parametrize("place", ASSERTED, ids=name_of)
def test_asserted(place):
    CHECKS[place[0]](ASSERTED[place])


@pytest.mark.parametrize("place", LISTED, ids=name_of)
def test_listed_has_nothing_behind_it(place):
    assert LISTED[place]
    with pytest.raises(checks.NothingBehindError):
        CHECKS[place[0]](ALL[place])


def test_asserted_and_listed_are_all_rows():
    assert len(ASSERTED) + len(LISTED) == len(ALL) == sum(map(len, map(reference.rows, CHECKS)))
    assert ASSERTED.keys() | LISTED.keys() == ALL.keys()
    assert len(ALL) == 187 + 8 + 6  # published, common practice, demo costs


@pytest.mark.parametrize("place", ALL, ids=name_of)
def test_bounds_are_ordered_and_the_source_is_named(place):
    row = ALL[place]
    for low, high in ranges(row):
        assert low <= high
    if row.get("seen") != "no":
        assert row.get("source") or row.get("basis")


def test_how_far_the_cost_table_is_from_the_cards():
    kale = replace(costs.LOTS["kale"], kg_per_h=32)
    zucchini = replace(costs.LOTS["zucchini"], drying_h=10)
    assert costs.away_from_table("kale", kale) == pytest.approx((-18.72, -40.1), abs=0.02)
    assert costs.away_from_table("zucchini", zucchini) == pytest.approx((4.18, 0), abs=0.02)
