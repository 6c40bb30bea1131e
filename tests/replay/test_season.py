"""The invented season: lots and kg of every month as given, plans that keep the rules, by seed."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest

from scheduler.domain.rules import FULL
from scheduler.replay.happened import happened
from scheduler.replay.harvests import CROPS, MONTHS, weeks_of
from scheduler.replay.laying import Effort, lay_out_quickly, with_reasons
from scheduler.replay.season import invented_season
from scheduler.scenario import load
from scheduler.season.figures import figures
from scheduler.season.records import Posted, Season
from scheduler.units import Grams
from scheduler.verify import verify
from tests.season.small import season as small

# Month, lots, field kg, days open: the demo scenario's season figures, as printed.
PRINTED = {
    4: (14, 420, 10), 5: (22, 610, 13), 6: (41, 1480, 21), 7: (78, 3950, 26),
    8: (104, 5620, 26), 9: (112, 6340, 26), 10: (63, 3200, 22), 11: (24, 900, 12),
}  # fmt: skip


@pytest.mark.parametrize("seed", [1, 2, 6, 77])  # 6: at first such lots as weigh too little
def test_every_month_has_its_printed_lots_and_kilograms(seed: int):
    weeks = weeks_of(load("august"), seed)
    zone = weeks[0].kitchen.zone
    lots: dict[int, int] = defaultdict(int)
    field_g: dict[int, int] = defaultdict(int)
    for week in weeks:
        for note in week.notes:
            month = note.arrives.astimezone(zone).month
            lots[month] += 1
            field_g[month] += note.field_g
    assert {each: (lots[each], field_g[each]) for each in PRINTED} == {
        each: (count, kg * 1000) for each, (count, kg, _) in PRINTED.items()
    }


def test_days_open_are_those_printed_and_the_kitchen_is_closed_on_all_others():
    assert {each.month: len(each.open_days()) for each in MONTHS} == {
        month: days for month, (_, _, days) in PRINTED.items()
    }
    weeks = weeks_of(load("august"), 1)
    opened = {day for week in weeks for day in week.week.days if week.kitchen.staffed_spans((day,))}
    assert len(opened) == 156


def test_notes_are_of_crops_in_season_within_their_weights_on_days_open():
    crops = {each.card_id: each for each in CROPS}
    for week in weeks_of(load("august"), 3):
        for note in week.notes:
            crop, local = crops[note.card_id], note.arrives.astimezone(week.kitchen.zone)
            assert note.grower_id in crop.growers
            assert local.month in crop.months
            assert crop.lightest <= note.field_g // 1000 <= crop.heaviest
            assert week.kitchen.staffed_spans((local.date(), local.date() + timedelta(days=1)))


@pytest.fixture(scope="module")
def first() -> Season:
    return invented_season(1, steps=5, weeks=3)


def test_the_same_seed_gives_the_same_season(first: Season):
    assert invented_season(1, steps=5, weeks=1).weeks == first.weeks[:1]


def test_its_plans_keep_every_rule_and_its_records_are_its_own(first: Season):
    for week in first.weeks:
        assert verify(week.asked, week.plan, FULL) == ()
        placed = {charge.note_id for _, charge in week.plan.charges()}
        came = {lot.note_id for lot in week.lots} | {each.note_id for each in week.gone}
        assert came == placed
    figure = {each.definition.key: each for each in figures(first)}
    assert figure["on_record"].share == 1
    assert figure["placed"].numerator > 0


def test_what_was_held_was_dried_again_or_lost():
    """With everything held, each lot has a run of its own by day, or is discarded."""
    asked = small(2).weeks[0].asked
    plan = lay_out_quickly(asked, Effort(0))
    week = happened(Posted(asked, plan), Held(1))
    again = {each.run.charges[0].note_id for each in week.ran if each.again}
    assert week.lots
    for lot in week.lots:
        assert lot.held
        assert (lot.note_id in again) == (lot.discarded_g == 0)
        assert (lot.bags is None) == (lot.discarded_g > 0)


class Held(Random):
    """Chance that lets nobody go and holds every lot."""

    def random(self) -> float:
        return 0.03  # above the rate of those who do not come, below that of those held


def test_a_waiting_note_has_its_rule():
    asked = small(9).weeks[0].asked
    crowded = replace(
        asked, notes=tuple(replace(n, field_g=Grams(3 * n.field_g)) for n in asked.notes)
    )
    plan = with_reasons(crowded, lay_out_quickly(crowded, Effort(0)))
    assert plan.waiting
    assert all(each.reason for each in plan.waiting)
    assert any(each.rule for each in plan.waiting)
