"""Turns of short notice stay wherever the solver finds a mend that leaves them."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.emergency import proposals
from scheduler.model.solve import Effort
from scheduler.model.stay import most_stay
from scheduler.problem import Draft
from scheduler.re_lay import in_hand, re_laid
from scheduler.re_lay.early import _Early, early_first, moved_short
from scheduler.re_lay.mend import Course, mended, offered
from scheduler.re_lay.small import Small, by_hand
from scheduler.re_lay.week import Week, week_of
from scheduler.units import Grams
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import value, worth
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
    least, whole = (mended(week, [each], Course("small", 0.0)) for each in (small, found))
    whole = replace(whole, worth_g=least.worth_g, moves=whole.moves)
    assert offered(week, least, whole).proposed == "whole"
    assert offered(week, whole, replace(whole, seconds=1.0)).proposed == "small"


def test_a_whole_week_is_proposed_for_a_hundredth_more():
    week, small = by_hand_in_the_night(FULL)
    least = mended(week, [small], Course("small", 0.0))
    hundredth = least.worth_g // 100
    more, less = (
        replace(least, worth_g=Grams(least.worth_g + g)) for g in (hundredth + 1, hundredth - 1)
    )
    assert offered(week, least, more).proposed == "whole"
    assert offered(week, least, less).proposed == "small"


def moved_at_least(week: Week) -> list[int]:
    """The lots of short notice alone, beside what has begun: those that the solver leaves out are
    proved to be in the others' way."""
    problem = week.held(week.going, 0)
    short = {lot for lot, own in week.home.bringing.items() if any(turn.flat for turn in own)}
    ruin = Ruin(problem, Random(1))
    lots = [lot for lot in ruin.lots if lot.index in short]
    draft = most_stay(problem, ruin.rebuilt(Draft(), set()), lots, Effort(60.0, work=2.0))
    assert draft
    assert {charge.lot for run in draft.runs for charge in run.charges} - problem.firm.lots <= short
    return moved_short(problem, draft)


@pytest.mark.parametrize("rules", [FULL, SIMPLE], ids=lambda rules: rules.name)
def test_no_more_are_moved_than_are_proved_to_have_to(rules: RuleBook):
    week, small = by_hand_in_the_night(rules)
    found = early(week, small)
    assert len(moved_short(found.problem, found.draft)) == len(moved_at_least(week))


def test_where_no_room_is_made_nearby_all_that_is_later_is_put_back(
    monkeypatch: pytest.MonkeyPatch,
):
    week, small = by_hand_in_the_night(FULL)
    monkeypatch.setattr(_Early, "_nearer", lambda self, draft, nears, must: draft)
    found = early(week, small)
    assert len(moved_short(found.problem, found.draft)) == len(moved_at_least(week))
    assert worth(found.problem, found.draft) >= worth(week.problem, week.whole.firm.draft)
