"""Which of several like stations each charge uses."""

from dataclasses import replace

import pytest

from scheduler.domain.rules import FULL, RuleBook, less
from scheduler.errors import BrokenPromise
from scheduler.expand.places import Places
from scheduler.prepare import problem
from scheduler.problem import DraftCharge, Firm, Key, Problem
from scheduler.scenario import load


def test_two_charges_of_one_lot_that_are_cut_alike_at_once_have_a_table_each():
    """As they may where rule 12 is left out."""
    week = problem(load("glut"), less("hands"))
    alike = next(kind for kind, each in enumerate(week.table_kinds) if len(each.ids) > 1)
    lot, recipe = next(
        (lot, recipe)
        for lot in week.lots
        for recipes in lot.sizes.values()
        for recipe in recipes
        if recipe.tables == (alike,)
    )
    cut = week.days[1].open
    one = DraftCharge(
        lot=lot.index,
        recipe=recipe,
        wash=cut - recipe.wash,
        cut=cut,
        steam=0,
        pair_attends=False,
        check=0,
        pack=cut + 200,
    )
    other = replace(one, wash=one.wash - recipe.wash, pack=one.pack + recipe.pack)
    charges = [((0, cut + 100), one), ((1, cut + 100), other)]
    places = Places(week, charges)
    assert len({table for each in charges for table in places.tables(each)}) == 2


def of_two_alike(rules: RuleBook = FULL) -> tuple[Problem, DraftCharge]:
    """Steamers S1 and S2 are alike; a charge that is steamed on one of them at noon of Monday."""
    asked = load("glut")
    large = asked.kitchen.steamers[0]
    both = (large, replace(large, id="S2"))
    week = problem(replace(asked, kitchen=replace(asked.kitchen, steamers=both)), rules)
    lot, recipe = next(
        (lot, recipe)
        for lot in week.lots
        for recipes in lot.sizes.values()
        for recipe in recipes
        if recipe.steamers == (0,)
    )
    noon = week.days[0].open + 60
    cut = noon - recipe.steam_from
    pack = noon + 300
    charge = DraftCharge(lot.index, recipe, cut - recipe.wash, cut, noon, check=pack, pack=pack)
    return week, charge


def beside(week: Problem, one: DraftCharge) -> list[tuple[Key, DraftCharge]]:
    """With another lot's, steamed at once but cut at another time."""
    recipe, lots = one.recipe, iter(week.lots)
    lot = next(each.index for each in lots if each.index != one.lot)
    cut, pack = one.cut + 2 * recipe.cut, one.pack + recipe.pack
    other = replace(one, lot=lot, wash=one.wash - recipe.wash, cut=cut, pack=pack)
    return [((0, one.steam + 40), one), ((1, one.steam + 40), other)]


def test_two_charges_that_are_steamed_at_once_have_a_steamer_each():
    week, one = of_two_alike()
    charges = beside(week, one)
    places = Places(week, charges)
    assert {places.steamers(each) for each in charges} == {("S1",), ("S2",)}


@pytest.mark.parametrize("why", ["down", "taken"])
def test_a_steamer_that_is_down_or_firm_with_others_is_used_by_none(why: str):
    week, one = of_two_alike()
    busy = {"S1": ((1 << one.recipe.steam) - 1) << one.steam}
    firm = Firm(taken=busy if why == "taken" else {})
    week = replace(week, firm=firm, down=busy if why == "down" else {})
    charges = beside(week, one)
    assert Places(week, charges[:1]).steamers(charges[0]) == ("S2",)
    with pytest.raises(BrokenPromise, match="S1, S2"):
        Places(week, charges)


def test_where_steamers_have_no_number_a_charge_on_two_has_two_all_the_same():
    week, one = of_two_alike(less("steamers"))
    both = replace(one, recipe=replace(one.recipe, steamers=(0, 0)))
    charges = beside(week, both)
    assert {Places(week, charges).steamers(each) for each in charges} == {("S1", "S2")}
