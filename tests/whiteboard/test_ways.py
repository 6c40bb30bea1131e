"""One way to prepare a charge, and the times it is given."""

from __future__ import annotations

from scheduler.home import Home, Turn
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.whiteboard.fit import Way
from scheduler.whiteboard.masks import last, span


def test_in_a_mend_a_charge_is_washed_and_on_a_later_day_cut_when_it_was():
    lot = problem(load("august")).lots[0]
    recipe = next(iter(lot.sizes.values()))[0]
    way = Way(recipe, span(0, 500), span(600, 620), recipe.steam_from, pair_attends=False)
    start = 610 + way.soonest
    assert way.longest >= way.soonest + 1
    usual = way.charge(lot, start, last, None)
    assert (usual.wash, usual.cut) == (500, 610)
    home = Home(bringing={lot.index: [Turn(470, 1)]}, returning={lot.index: [Turn(609, 1)]})
    mended = way.charge(lot, start, last, home)
    assert (mended.wash, mended.cut) == (470, 609)
    gone = Home(bringing={lot.index: [Turn(501, 1)]}, returning={lot.index: [Turn(611, 1)]})
    assert way.charge(lot, start, last, gone) == usual
