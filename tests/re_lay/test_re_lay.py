"""What a mend promises: it keeps the rules, what has begun, short notices; who moves and why."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from scheduler import prepare
from scheduler.answer import Answer, answered
from scheduler.domain.asked import Asked
from scheduler.domain.mend import ReLaid
from scheduler.domain.outage import Happened, Outage
from scheduler.domain.part_lot import DriesOn
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.emergency import Logged, as_logged, proposals
from scheduler.expand import expanded
from scheduler.home import DAY, Begins, Home, Turn, shift_g
from scheduler.re_lay import Limits, in_hand, re_laid
from scheduler.re_lay.week import SHORT_NOTICE_G, week_of, worth_by_note
from scheduler.scenario import load
from scheduler.started import all_runs
from scheduler.units import Grams
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard
from scheduler.worth import value, worth
from tests.builders import at

SHORT = Limits(seconds=None, work=0.2, workers=1)
NOW = at("Tue 22:10")


def in_the_night(rules: RuleBook) -> tuple[Asked, Plan]:
    """The cart dryer's night with a plan in hand made by hand, all of it firm."""
    asked = load("dryer_down")
    before = replace(asked, happened=replace(asked.happened, outages=()))
    problem = prepare.problem(before, rules)
    plan = expanded(before, problem, whiteboard(problem))
    firm = frozenset(charge.note_id for _, charge in plan.charges())
    return replace(asked, promised=Promised(plan, firm)), plan


@pytest.fixture(scope="module", params=[FULL, SIMPLE], ids=lambda rules: rules.name)
def rules(request: pytest.FixtureRequest) -> RuleBook:
    found: RuleBook = request.param
    return found


@pytest.fixture(scope="module")
def night(rules: RuleBook) -> tuple[Asked, Plan]:
    return in_the_night(rules)


@pytest.fixture(scope="module")
def found(night: tuple[Asked, Plan]) -> ReLaid:
    return re_laid(*night, NOW, limits=SHORT)


def mends(found: ReLaid) -> list[Plan]:
    return [each.plan for each in (found.small, found.whole) if each]


def test_mended_plans_keep_every_rule(night: tuple[Asked, Plan], found: ReLaid, rules: RuleBook):
    for plan in mends(found):
        assert verify(in_hand(*night, NOW, plan.part_lots), plan, rules) == ()
        assert [each.racks for each in plan.part_lots] == [20, 20]


def test_never_less_than_what_still_stands(night: tuple[Asked, Plan], found: ReLaid):
    week = week_of(in_hand(*night, NOW, found.small.plan.part_lots), NOW, ())
    stands = worth(week.problem, week.whole.firm.draft)
    assert 0 < stands <= found.small.worth_g
    assert found.whole is None or found.whole.worth_g >= found.small.worth_g


def test_every_move_of_a_firm_turn_is_told_with_its_reason(
    night: tuple[Asked, Plan], found: ReLaid
):
    asked, plan = night
    for mend in filter(None, (found.small, found.whole)):
        told = {each.note_id for each in mend.moves if each.was}
        named = {each.note_id for each in mend.plan.moved}
        assert told <= named
        assert all(each.reason and each.notice_s >= 0 for each in mend.moves)
        before, after = worth_by_note(asked, plan), worth_by_note(asked, mend.plan)
        assert set(mend.lost) == {each for each in before if after[each] < before[each]}
        assert not set(mend.kept) & set(mend.lost)


def test_the_small_change_moves_only_what_cannot_stay_or_makes_room_for_short_notice(
    night: tuple[Asked, Plan], found: ReLaid
):
    week = week_of(in_hand(*night, NOW, found.small.plan.part_lots), NOW, ())
    assert found.small.moves
    unforced = [each for each in found.small.moves if each.was and not each.forced]
    assert not any(week.short_notice(each.note_id, each.was.start) for each in unforced if each.was)
    assert not unforced or any(week.short_of(each) for each in week.lost)
    assert any("D3 is down" in each.reason for each in found.small.moves)
    assert found.calls


def test_the_whole_week_moves_no_more_turns_of_short_notice(
    night: tuple[Asked, Plan], found: ReLaid
):
    week = week_of(in_hand(*night, NOW, found.small.plan.part_lots), NOW, ())
    short = [
        sum(
            each.kind == "bringing"
            and each.was is not None
            and week.short_notice(each.note_id, each.was.start)
            for each in mend.moves
        )
        for mend in (found.small, found.whole)
        if mend
    ]
    assert short == sorted(short, reverse=True)


def test_what_a_person_chose_for_part_lots_is_kept(night: tuple[Asked, Plan], rules: RuleBook):
    asked, plan = night
    first, second = next(proposals(asked, plan, "D3", NOW))
    chosen = replace(second, dries_on=DriesOn("D3", 57.0, at("Thu 12:00"), at("Thu 17:00")))
    assert second.held
    chosen = replace(chosen, held=replace(second.held, until=at("Thu 11:30")))
    found = re_laid(asked, plan, NOW, limits=SHORT, part_lots=(first, chosen))
    for each in mends(found):
        assert each.part_lots == (first, chosen)
        assert verify(in_hand(asked, plan, NOW, (first, chosen)), each, rules) == ()


def test_a_second_mend_leaves_the_part_lots_of_the_first(
    night: tuple[Asked, Plan], found: ReLaid, rules: RuleBook
):
    asked, _ = night
    plan = found.small.plan
    firm = frozenset(charge.note_id for _, charge in plan.charges())
    again = replace(asked, promised=Promised(plan, firm))
    later = NOW + timedelta(minutes=30)
    second = re_laid(again, plan, later, limits=SHORT)
    assert second.small.plan.part_lots == plan.part_lots
    assert not [each for each in second.small.moves if each.was]
    assert verify(in_hand(again, plan, later), second.small.plan, rules) == ()


def test_part_lots_are_among_the_runs_of_the_week(night: tuple[Asked, Plan], found: ReLaid):
    asked, _ = night
    plan = found.small.plan
    runs = [run for run in all_runs(asked, plan) if run.id.startswith("part-lots")]
    assert [charge.code for run in runs for charge in run.charges] == ["R09 A", "R09 B"]
    assert {(run.dryer_id, run.start) for run in runs} == {
        (each.dries_on.dryer_id, each.dries_on.start) for each in plan.part_lots if each.dries_on
    }


def test_an_answer_beside_part_lots_leaves_them_their_dryer(
    night: tuple[Asked, Plan], found: ReLaid, rules: RuleBook
):
    asked, plan = replace(night[0], promised=Promised()), found.small.plan
    new = replace(asked.note("R23"), id="R99", field_g=Grams(1_000))
    alone = Plan(plan.week, plan.rules, (), (), part_lots=plan.part_lots)
    answer = answered(asked, alone, new, rules=rules)
    assert isinstance(answer, Answer)
    assert answer.plan.part_lots == plan.part_lots
    assert [f for f in verify(asked, answer.plan, rules) if "R09" in f.message] == []


def test_the_same_work_gives_the_same_mend(night: tuple[Asked, Plan], found: ReLaid):
    again = re_laid(*night, NOW, limits=SHORT)
    assert mends(again) == mends(found)


def spring() -> tuple[Asked, Plan]:
    asked = load("spring_day")
    problem = prepare.problem(asked)
    plan = expanded(asked, problem, whiteboard(problem))
    firm = frozenset(charge.note_id for _, charge in plan.charges())
    return replace(asked, promised=Promised(plan, firm)), plan


def test_where_nothing_is_wrong_nothing_moves():
    asked, plan = spring()
    found = re_laid(asked, plan, plan.runs[0].start - timedelta(days=1), limits=SHORT)
    assert found.small.moves == ()
    assert (found.whole, found.proposed, found.small.plan.runs) == (None, "small", plan.runs)


def test_work_that_has_begun_and_cannot_go_on_is_left_to_a_person():
    asked, plan = spring()
    run = next(each for each in plan.runs if each.charges[0].preparation)
    made = run.charges[0].preparation
    assert made
    now = made.wash.end
    stop = Outage(run.dryer_id, now, None)
    down = replace(asked, happened=Happened(now, (), (stop,)))
    found = re_laid(down, plan, now, limits=SHORT)
    note_id = run.charges[0].note_id
    assert note_id in found.small.lost
    told = next(each for each in found.small.plan.moved if each.note_id == note_id)
    assert "a person decides" in told.reason


def test_a_heavier_lot_is_placed_anew_and_others_stay():
    asked, plan = spring()
    note = asked.notes[-1]
    notes = (*asked.notes[:-1], replace(note, field_g=Grams(note.field_g * 13 // 10)))
    now = min(each.arrives for each in asked.notes) - timedelta(hours=1)
    found = re_laid(replace(asked, notes=notes), plan, now, limits=SHORT)
    assert {each.note_id for each in found.small.moves if each.was} <= {note.id}
    assert note.id in found.small.kept


def test_a_move_counts_half_at_once_and_half_by_how_far():
    assert [shift_g(1000, ticks) for ticks in (0, 1, DAY // 2, DAY, 2 * DAY)] == [
        0, 501, 750, 1000, 1000,
    ]  # fmt: skip
    home = Home({0: (Turn(10, 100, 7), Turn(20, 100, 7))}, {1: (Turn(5, 40),)})
    assert home.moved_g(Begins({0: [10, 20]}, {1: [5]}, {})) == 0
    assert home.moved_g(Begins({0: [10]}, {1: [5]}, {})) == 107
    assert home.moved_g(Begins({0: [10, 20]}, {}, {})) == 40
    assert home.moved_g(Begins({0: [10, 21]}, {1: [5]}, {})) == 7 + shift_g(100, 1)
    assert home.moved_g(Begins({0: [10, 20, 30]}, {1: [5]}, {})) == 50


def test_less_than_the_worth_wanted_counts_more_than_all_turns():
    asked = load("spring_day")
    problem = prepare.problem(asked)
    draft = whiteboard(problem)
    gained = worth(problem, draft)
    assert value(problem, draft) == gained
    assert value(replace(problem, home=Home(floor=gained)), draft) == gained
    held = replace(problem, home=Home(floor=gained + 100))
    far = replace(problem, home=Home(floor=gained + 200))
    assert value(far, draft) < value(held, draft) < -100 * SHORT_NOTICE_G


def test_a_mend_starts_from_what_the_night_log_tells(night: tuple[Asked, Plan], rules: RuleBook):
    asked, plan = night
    logged = (
        Logged("R09", "A", None, None, at("Wed 00:02"), over=False),
        Logged("R09", "B", at("Wed 00:30"), None, None, over=False),
    )
    later = at("Wed 07:40")
    first, second = as_logged(asked, plan, "D3", later, logged)
    assert first.dries_on == DriesOn("D2", 57.0, at("Wed 00:05"), at("Wed 05:05"))
    assert second.held
    assert second.held.since == at("Wed 00:30")
    assert second.dries_on
    assert second.dries_on.start >= later
    in_log = replace(plan, part_lots=(first, second))
    told = replace(asked, promised=replace(asked.promised, plan=in_log))
    found = re_laid(told, in_log, later, limits=SHORT)
    assert found.small.plan.part_lots == (first, second)
    assert verify(in_hand(told, in_log, later), found.small.plan, rules) == ()
