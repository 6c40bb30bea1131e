"""What a charge takes of hands and tables before an early tick, and that the bound counts it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from scheduler import prepare
from scheduler.model import day_rows
from scheduler.model.early_rows import Latest
from scheduler.model.master import Master
from scheduler.problem import Lot, Problem, Recipe
from scheduler.scenario import load

START = 14  # ticks after opening
STEAMED, UNSTEAMED, ALONE = "X04", "X13", "X05"


@pytest.fixture(scope="module")
def glut() -> Problem:
    return prepare.problem(load("glut"))


def lot_of(problem: Problem, note_id: str) -> Lot:
    return next(lot for lot in problem.lots if lot.note_id == note_id)


def hands_at(lot: Lot, recipe: Recipe, cut: int, steam: int) -> list[int]:
    """Hands at each tick (rule 12), minute by minute: at the further table, helping one who comes
    alone, at the steamers unless the pair has done cutting and minds the one there is."""
    busy = []
    for tick in range(START):
        cutting = cut <= tick < cut + recipe.cut
        steaming = bool(recipe.steamers) and steam <= tick < steam + recipe.steam
        minded_by_pair = len(recipe.steamers) == 1 and not lot.alone and tick >= cut + recipe.cut
        busy.append(
            cutting * (2 * (len(recipe.tables) - 1) + lot.alone)
            + (len(recipe.steamers) if steaming and not minded_by_pair else 0)
        )
    return busy


def timings(recipe: Recipe) -> list[tuple[int, int]]:
    """Every start of cutting and of steaming that has the last rack in by the run's start."""
    if not recipe.steamers:
        return [(cut, 0) for cut in range(START - recipe.ready_from + 1)]
    return [
        (cut, steam)
        for cut, steam in product(range(START), repeat=2)
        if cut + recipe.steam_from <= steam <= min(cut + recipe.steam_to, START - recipe.ready_from)
    ]


@pytest.mark.parametrize("note_id", [STEAMED, UNSTEAMED, ALONE])
def test_however_a_charge_is_timed_it_takes_no_less(glut: Problem, note_id: str):
    lot, tried = lot_of(glut, note_id), 0
    for recipe in (each for size in sorted(lot.sizes)[:12] for each in lot.sizes[size]):
        latest = Latest(lot, recipe, soonest=0, wash=0, start=START)
        for cut, steam in timings(recipe):
            tried += 1
            assert latest.possible
            for e in range(1, START):
                assert latest.hands(e) <= sum(hands_at(lot, recipe, cut, steam)[:e])
                cutting = max(0, min(e - cut, recipe.cut))
                assert latest.table(e, 0) <= recipe.tables.count(0) * cutting
    assert tried


def test_what_can_be_timed_in_no_way_is_not_possible(glut: Problem):
    lot = lot_of(glut, STEAMED)
    for recipe in (each for size in lot.sizes for each in lot.sizes[size]):
        if not timings(recipe):
            assert not Latest(lot, recipe, soonest=0, wash=0, start=START).possible


def test_the_bound_of_full_days_is_lower_with_them(glut: Problem, monkeypatch: pytest.MonkeyPatch):
    lots = (
        lot if lot.latest <= glut.days[4].close else replace(lot, sizes={}) for lot in glut.lots
    )
    five_days = replace(glut, lots=tuple(lots))
    with_rows = Master(five_days).bound(120)
    monkeypatch.setattr(day_rows, "add_early_rows", lambda *_: None)
    without = Master(five_days).bound(120)
    assert with_rows is not None
    assert without is not None
    assert with_rows < without


def test_hands_at_a_further_table_mind_no_steamer_meanwhile(glut: Problem):
    recipes = [each for own in lot_of(glut, STEAMED).sizes.values() for each in own]
    assert all(r.steam_from >= r.cut for r in recipes if len(r.tables) > 1)
    assert any(r.steam_from < r.cut for r in recipes if len(r.tables) == 1)
