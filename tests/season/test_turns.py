"""Turns and shares of a season: sums are exact, spreads as reckoned by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.clock import Week
from scheduler.ledger import WEEKS
from scheduler.season.figures import figures
from scheduler.season.records import Posted, Season
from scheduler.season.turns import (
    gini,
    in_words,
    longest_run,
    members,
    spread,
    turn_before,
    week_records,
)
from tests.season.small import season


def shared(found: Season) -> Season:
    """The same growers in every week: those of the last, notes given to them in turn."""
    growers = found.weeks[-1].asked.growers
    weeks = []
    for week in found.weeks:
        notes = tuple(
            replace(note, grower_id=growers[place % len(growers)].id)
            for place, note in enumerate(week.asked.notes)
        )
        asked = replace(week.asked, growers=growers, notes=notes)
        weeks.append(replace(week, posted=(Posted(asked, week.plan),)))
    return replace(found, weeks=tuple(weeks))


@settings(max_examples=8, deadline=None)
@given(st.integers(1, 40))
def test_members_add_up_to_the_kitchen_exactly(seed: int):
    found = shared(season(seed))
    lines = members(found)
    figure = {each.definition.key: each for each in figures(found)}
    assert sum(each.rack_s for each in lines) == figure["rack_use"].numerator
    assert sum(each.night_rack_s for each in lines) == figure["night"].numerator
    assert sum(each.refused_g for each in lines) == figure["refused"].numerator
    left = figure["waited"].numerator + figure["refused"].numerator
    assert sum(each.placed_g for each in lines) == figure["placed"].denominator - left


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ([1, 1, 1, 1], Fraction(0)),
        ([0, 0, 0, 1], Fraction(3, 4)),  # all to one of four: (n - 1) / n
        ([1, 3], Fraction(1, 4)),  # two pairs 2 apart of four: 4 / (2 x 2 x 4)
        ([0, 0], Fraction(0)),
    ],
)
def test_gini_by_hand(values: list[int], expected: Fraction):
    assert gini([Fraction(each) for each in values]) == expected


def test_longest_run_of_refusals():
    assert longest_run([True, False, True, True, False, True]) == 2
    assert longest_run([]) == 0


def test_the_sentence_says_how_far_members_lie_apart():
    lines = [replace(members(shared(season(1)))[0], notes=1, shares=1, rack_s=3600 * each)
             for each in (10, 20, 30)]  # fmt: skip
    found = spread(lines)
    assert found is not None
    assert [found.least, found.middle, found.most] == [Fraction(each) for each in (10, 20, 30)]
    assert found.to_middle == Fraction(3, 2)
    # pairs lie 0, 10, 20 apart: (4 x 10 + 2 x 20) / 9 = 8.9, over twice the mean of 20: 0.22
    told = in_words(found)
    assert "most had 30 rack-hours a share, 1.5 times the one in the middle (20)" in told
    assert "is 0.22 (Gini)." in told


def test_a_note_that_a_later_posted_plan_takes_elsewhere_was_moved():
    found = shared(season(2))
    week = found.weeks[0]
    run = week.plan.runs[0]
    later = replace(
        week.plan,
        runs=(replace(run, start=run.start + timedelta(hours=1)), *week.plan.runs[1:]),
    )
    twice = replace(week, posted=(week.posted[0], Posted(week.asked, later)))
    lines = members(replace(found, weeks=(twice, *found.weeks[1:])))
    assert sum(each.moved for each in lines) == len({each.note_id for each in run.charges})
    assert sum(each.moved for each in members(found)) == 0


def test_whose_turn_it_was_can_be_reckoned_again_from_the_records():
    found = shared(season(5, length=4))
    last = found.weeks[-1].week
    told = turn_before(found, last)
    had = {grower.id: 0 for grower in found.weeks[-1].asked.growers}
    for each in week_records(found):
        if each.week < last:
            had[each.grower_id] += each.rack_s
    assert {each.grower_id: each.rack_s for each in told} == had
    bumped_last = [each.bumped_last for each in told]
    assert bumped_last == [False] * len(told)
    served = [each.per_share for each in told if each.shares]
    assert served == sorted(served)


def test_records_older_than_a_quarter_of_a_year_count_no_longer():
    found = shared(season(6, length=WEEKS + 2))
    after = Week.of(found.weeks[-1].week.monday + timedelta(days=7))
    counted = {each.week for each in found.weeks[2:]}
    rack_s = sum(each.rack_s for each in week_records(found) if each.week in counted)
    assert sum(each.rack_s for each in turn_before(found, after)) == rack_s
