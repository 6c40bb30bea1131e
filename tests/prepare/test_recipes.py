"""Ways to prepare a charge, as the rules in force allow them."""

import pytest

from scheduler import prepare
from scheduler.domain.rules import FULL, less
from scheduler.scenario import load


@pytest.mark.parametrize("scenario", ["august", "glut"])
def test_steamers_without_number_allow_every_way_that_a_number_allows(scenario: str):
    asked = load(scenario)
    counted, uncounted = (prepare.problem(asked, rules).lots for rules in (FULL, less("steamers")))
    ways = [
        (set(recipes), set(more.sizes[size]))
        for lot, more in zip(counted, uncounted, strict=True)
        for size, recipes in lot.sizes.items()
    ]
    assert all(few <= many for few, many in ways)
    assert any(few < many for few, many in ways)


@pytest.mark.parametrize("scenario", ["august", "glut"])
def test_no_two_ways_are_one_on_paper(scenario: str):
    """A plan tells tables, steamers and the times of its loads."""
    for lot in prepare.problem(load(scenario), less("steamers")).lots:
        for recipes in lot.sizes.values():
            on_paper = [
                (way.tables, way.steamers, way.loads, way.loads > len(way.steamers) and way.cycle_s)
                for way in recipes
            ]
            assert len(set(on_paper)) == len(on_paper)
