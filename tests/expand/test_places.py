"""Which of several like stations each charge uses."""

from dataclasses import replace

from scheduler.domain.rules import less
from scheduler.expand.places import Places
from scheduler.prepare import problem
from scheduler.problem import DraftCharge
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
