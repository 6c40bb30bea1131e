"""Turns of short notice stay wherever the solver finds a mend that leaves them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.emergency import proposals
from scheduler.problem import value, worth
from scheduler.re_lay import in_hand, re_laid
from scheduler.re_lay.early import early_first, moved_short
from scheduler.re_lay.mend import Course, mended, offered
from scheduler.re_lay.small import Small, by_hand
from scheduler.re_lay.week import Week, week_of
from tests.bench.dryer_down import forced
from tests.re_lay.test_re_lay import NOW, SHORT, in_the_night


def by_hand_in_the_night(rules: RuleBook) -> tuple[Week, Small]:
    asked, plan = in_the_night(rules)
    parts = next(proposals(asked, plan, "D3", NOW))
    week = week_of(in_hand(asked, plan, NOW, parts), NOW, ())
    return week, by_hand(week)


def early(week: Week, small: Small) -> Small:
    return early_first(week, small, seconds=None, seed=1)


def test_later_turns_make_room_for_one_of_short_notice():
    week, small = by_hand_in_the_night(FULL)
    found = early(week, small)
    before, after = (set(moved_short(found.problem, each.draft)) for each in (small, found))
    assert after < before
    assert value(found.problem, found.draft) > value(found.problem, small.draft)
    assert worth(found.problem, found.draft) >= worth(week.problem, week.whole.firm.draft)


def test_without_turns_of_short_notice_it_stays_as_it_was():
    week, small = by_hand_in_the_night(FULL)
    turns = week.home.bringing.items()
    calm = {lot: [replace(each, flat=0) for each in own] for lot, own in turns}
    calm_week = replace(week, home=replace(week.home, bringing=calm))
    assert early(calm_week, small) is small


@pytest.mark.parametrize("rules", [FULL, SIMPLE], ids=lambda rules: rules.name)
def test_what_moves_at_short_notice_cannot_stay_where_it_was(rules: RuleBook):
    asked, plan = in_the_night(rules)
    found = re_laid(asked, plan, NOW, limits=SHORT)
    chosen = found.whole if found.proposed == "whole" and found.whole else found.small
    week = week_of(in_hand(asked, plan, NOW, chosen.plan.part_lots), NOW, ())
    assert "can" not in dict(forced(week, chosen)).values()


def test_a_whole_week_that_moves_fewer_of_short_notice_is_proposed_though_it_is_worth_no_more():
    week, small = by_hand_in_the_night(FULL)
    found = early(week, small)
    least, whole = (mended(week, each.draft, Course("small", 0.0)) for each in (small, found))
    whole = replace(whole, worth_g=least.worth_g, moves=whole.moves)
    assert offered(week, least, whole).proposed == "whole"
    assert offered(week, whole, replace(whole, seconds=1.0)).proposed == "small"
