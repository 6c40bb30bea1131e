"""Every column and key of the scenario files stands in every scenario's README."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.scenario import kitchen_rows
from scheduler.scenario.faults import Checked
from scheduler.scenario.published import PublishedRow, SourceRow
from scheduler.scenario.quantities import columns
from scheduler.scenario.rows import CardRow, GrowerRow, HappenedRow, NoteRow

SCENARIOS = Path(__file__).parents[2] / "scenarios"
TABLES = [each for each in kitchen_rows.Table.__subclasses__() if each.__name__ != "KitchenFile"]
ROWS: list[type[Checked]] = [CardRow, GrowerRow, NoteRow, HappenedRow, *TABLES]


def test_kitchen_tables_are_found():
    assert len(TABLES) == len(kitchen_rows.KitchenFile.model_fields)


@pytest.mark.parametrize("name", ["august", "dryer_down", "glut", "spring_day"])
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.__name__)
def test_every_column_of_a_scenario(name, row):
    readme = (SCENARIOS / name / "README.md").read_text(encoding="utf-8")
    for field, info in row.model_fields.items():
        names = " or ".join(f"`{column}`" for column in columns(field))
        assert info.description
        assert f"{names}: {info.description}" in readme or f"{names} | {info.description}" in readme


@pytest.mark.parametrize("row", [PublishedRow, SourceRow], ids=lambda row: row.__name__)
def test_every_column_of_the_published_cards(row):
    readme = (SCENARIOS / "published_cards" / "README.md").read_text(encoding="utf-8")
    for field in row.model_fields:
        assert any(f"`{column}`" in readme for column in columns(field))


@pytest.mark.parametrize("name", ["august", "dryer_down", "glut", "spring_day"])
def test_it_says_that_it_is_invented(name):
    readme = (SCENARIOS / name / "README.md").read_text(encoding="utf-8")
    assert "invented" in readme
    assert "not process advice" in readme
