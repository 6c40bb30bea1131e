"""Exports opened again by other readers, and nothing in them taken for a formula."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime
from decimal import Decimal

import pandas
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from scheduler.season.sheets import Table, csv_text, guarded, workbook
from scheduler.season.trails import COLUMNS, Trails
from tests.season.small import season

NASTY = ("=1+1", "+1", "-2", "@SUM(A1)", "\t=1", "\r=1", " =1+1", '=HYPERLINK("x")')
text = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=12)


def table(*rows: tuple[str | int | Decimal | datetime | None, ...]) -> Table:
    return Table("farms", "Farms", ("farm", "kg"), rows)


@pytest.mark.parametrize("nasty", NASTY)
def test_no_cell_of_a_csv_begins_a_formula(nasty: str):
    cell = list(csv.reader(io.StringIO(csv_text(table((nasty, 1))), newline="")))[1][0]
    assert cell == f"'{nasty}"


@pytest.mark.parametrize("nasty", NASTY[:4])
def test_no_cell_of_a_workbook_is_a_formula(nasty: str):
    sheet = load_workbook(io.BytesIO(workbook([table((nasty, 1))]))).worksheets[0]
    assert (sheet["A2"].data_type, sheet["A2"].value) == ("s", nasty)
    assert sheet["A2"].quotePrefix


@settings(max_examples=30)
@given(st.lists(st.tuples(text, st.integers(-(10**9), 10**9)), max_size=5))
def test_csv_comes_back_as_it_was(rows: list[tuple[str, int]]):
    found = list(csv.reader(io.StringIO(csv_text(table(*rows)), newline="")))
    assert found[1:] == [[guarded(name), str(number)] for name, number in rows]


def test_numbers_stay_numbers_and_instants_carry_their_offset():
    at = datetime(2026, 8, 18, 12, tzinfo=UTC)
    made = table(("Quillet Acre", Decimal("1.234")), ("-", at))
    assert csv_text(made).splitlines()[1:] == [
        "Quillet Acre,1.234",
        "'-,2026-08-18T12:00:00+00:00",
    ]
    sheet = load_workbook(io.BytesIO(workbook([made]))).worksheets[0]
    assert sheet["B2"].value == pytest.approx(1.234)
    assert sheet["B3"].value == at.replace(tzinfo=None)


@pytest.fixture(scope="module")
def trail() -> Table:
    return Trails(season(4)).sheet()


def test_the_trail_opens_in_openpyxl(trail: Table):
    sheet = load_workbook(io.BytesIO(workbook([trail]))).worksheets[0]
    found = list(sheet.iter_rows(values_only=True))
    assert found[0] == COLUMNS
    assert len(found) == len(trail.rows) + 1 > 10


def test_the_trail_opens_in_pandas_and_can_be_sorted(trail: Table):
    found = pandas.read_csv(io.StringIO(csv_text(trail)))
    assert list(found.columns) == list(COLUMNS)
    assert len(found) == len(trail.rows)
    by_lot = found.sort_values(["lot code", "when"])
    assert set(by_lot["step"]) >= {"receiving", "transformation", "shipping"}
    shipped = found[found["step"] == "shipping"]["quantity"].sum()
    packed = found[found["step"] == "transformation"]["quantity"].sum()
    assert shipped == pytest.approx(packed)
    assert len(pandas.read_excel(io.BytesIO(workbook([trail])))) == len(trail.rows)
