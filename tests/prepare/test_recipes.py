"""Ways to prepare a charge, as the rules in force allow them."""

from dataclasses import replace

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


def test_steamers_that_are_alike_are_one_kind():
    """Ten ways to take one or two of four, but five where these are two of each of two kinds."""
    asked = load("august")
    large, small = asked.kitchen.steamers
    twins = (replace(large, id="S3"), replace(small, id="S4"))
    kitchen = replace(asked.kitchen, steamers=(large, small, *twins))
    week = prepare.problem(replace(asked, kitchen=kitchen))
    assert [kind.ids for kind in week.steamer_kinds] == [("S1", "S3"), ("S2", "S4")]
    used = {
        recipe.steamers
        for lot in week.lots
        for recipes in lot.sizes.values()
        for recipe in recipes
        if recipe.steamers
    }
    assert used == {(0,), (1,), (0, 1), (0, 0), (1, 1)}


@pytest.mark.parametrize("figure", ["load_g", "basket_area_cm2", "handling_s", "watts"])
def test_steamers_that_differ_in_a_figure_are_two_kinds(figure: str):
    asked = load("august")
    large = asked.kitchen.steamers[0]
    other = replace(large, id="S2", **{figure: getattr(large, figure) + 60})
    kitchen = replace(asked.kitchen, steamers=(large, other))
    assert [
        kind.ids for kind in prepare.problem(replace(asked, kitchen=kitchen)).steamer_kinds
    ] == [
        ("S1",),
        ("S2",),
    ]
