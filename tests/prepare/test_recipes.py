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
