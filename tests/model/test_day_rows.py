"""What can be done before a start, where the last steps are quicker than in the bundled weeks."""

from dataclasses import replace
from datetime import timedelta

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL
from scheduler.model.master import first_bound
from scheduler.prepare import problem
from scheduler.scenario import load
from scheduler.units import GRID, Seconds
from scheduler.whiteboard import whiteboard
from scheduler.worth import worth


def in_haste(note_id: str, *, chill_s: int, last_rack_s: int) -> Asked:
    """One note of august, brought by one person, that is washed in the evening and must be in its
    dryer next morning, as soon as all of it can be ready when nothing else is in the way."""
    august = load("august")
    kitchen = replace(
        august.kitchen,
        chill_tubs=tuple(
            replace(tub, chill_s=Seconds(chill_s)) for tub in august.kitchen.chill_tubs
        ),
        limits=replace(august.kitchen.limits, last_rack_s=Seconds(last_rack_s)),
    )
    monday, tuesday = kitchen.staffed_spans(august.week.days[:2])
    note = next(each for each in august.notes if each.id == note_id)
    evening = replace(note, arrives=monday.start, latest_start=tuesday.end, may_split=True)
    growers = tuple(replace(each, people=1, cannot=()) for each in august.growers)
    asked = replace(august, kitchen=kitchen, notes=(evening,), growers=growers)
    (lot,) = problem(asked, FULL).lots
    whole = lot.sizes[max(lot.sizes)]
    ready = min(recipe.steam_from + recipe.ready_from for recipe in whole)
    in_the_evening = replace(
        evening,
        arrives=monday.end - timedelta(seconds=GRID * whole[0].wash),
        latest_start=tuesday.start + timedelta(seconds=GRID * ready),
    )
    return replace(asked, notes=(in_the_evening,))


@pytest.mark.parametrize(("chill_s", "last_rack_s"), [(60, 0), (300, 0), (600, 300), (1200, 600)])
@pytest.mark.parametrize("note_id", ["R03", "R04", "R06", "R07", "R15", "R18", "R21"])
def test_the_bound_allows_what_is_ready_in_the_shortest_time(
    note_id: str, chill_s: int, last_rack_s: int
):
    week = problem(in_haste(note_id, chill_s=chill_s, last_rack_s=last_rack_s), FULL)
    by_hand = worth(week, whiteboard(week))
    assert by_hand > 0
    assert first_bound(week) >= by_hand
