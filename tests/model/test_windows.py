"""Days filled anew: in random small kitchens under both rule books, and what stays beside them."""

from collections.abc import Iterable
from dataclasses import replace
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL, SIMPLE, RuleBook
from scheduler.expand import expanded
from scheduler.model.relaxed import Relaxed, Wish
from scheduler.model.solve import Effort
from scheduler.model.windows import Windows
from scheduler.prepare import problem
from scheduler.problem import Draft, DraftCharge, DraftRun, Firm, Problem
from scheduler.scenario import load
from scheduler.verify import verify
from scheduler.weeks import week as invented
from scheduler.whiteboard import whiteboard
from scheduler.whiteboard.ruin import Ruin
from scheduler.worth import worth
from tests import tiny
from tests.strategies import kitchens

LIGHT = Effort(seconds=60, work=0.05)
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


def windows(week: Problem, seed: int = 1) -> Windows:
    random = Random(seed)
    return Windows(week, Ruin(week, random), random)


def placed(runs: Iterable[DraftRun]) -> set[tuple[object, DraftCharge]]:
    """What is in which run, and how it was prepared; it may be checked and packed at other
    times."""
    return {(run.key, replace(each, check=0, pack=0)) for run in runs for each in run.charges}


def everything(week: Problem) -> list[Wish]:
    """All of every lot, in any dryer."""
    return [Wish(lot.index, lot.dryers, lot.racks) for lot in week.lots]


@settings(SLOW, max_examples=8)
@given(kitchens(), st.sampled_from([FULL, FULL, SIMPLE]), st.integers(0, 99))
def test_every_window_leaves_a_plan_that_holds_and_is_no_worse(
    asked: Asked, rules: RuleBook, seed: int
) -> None:
    week = problem(asked, rules)
    chosen, draft = windows(week, seed), whiteboard(week)
    bound = chosen.relaxed.master.bound(600)
    assert bound is not None
    for _ in range(4):
        found = chosen.improved(draft, LIGHT)
        if found is not None:
            assert worth(week, draft) <= worth(week, found) <= bound
            assert verify(asked, expanded(asked, week, found), rules) == ()
            draft = found


def test_some_dryers_alone_are_filled_anew() -> None:
    week = problem(load("august"))
    chosen, draft = windows(week), whiteboard(week)
    days, dryers = range(2), [0, 2]
    others = placed(chosen.beside(draft, days, dryers).draft().runs)
    assert {run.key for run in draft.runs if run.dryer not in dryers} <= {k for k, _ in others}
    wishes = chosen.wishes.waiting(draft, days, 0)
    found = chosen.filled(draft, days, wishes, LIGHT, dryers)
    assert found is not None
    assert others <= placed(found.runs)
    assert worth(week, draft) <= worth(week, found)


@settings(SLOW, max_examples=10)
@given(kitchens(), st.sampled_from([FULL, SIMPLE]), st.integers(0, 100))
def test_however_far_it_is_cut_down_the_draft_holds_and_is_no_worse(
    asked: Asked, rules: RuleBook, most: int
) -> None:
    week = problem(asked, rules)
    chosen, draft = windows(week), whiteboard(week)
    days = range(len(chosen.relaxed.days))
    found = chosen.filled(draft, days, everything(week), LIGHT, most=most)
    if found is not None:
        assert worth(week, draft) <= worth(week, found)
        assert verify(asked, expanded(asked, week, found), rules) == ()


def test_a_day_cut_down_to_what_is_there_is_as_it_was() -> None:
    week = problem(load("august"))
    chosen, draft = windows(week), whiteboard(week)
    found = chosen.filled(draft, range(3, 4), everything(week), LIGHT, most=0)
    more = chosen.filled(draft, range(3, 4), everything(week), Effort(60, 0.4), most=10_000)
    assert found is not None
    assert more is not None
    assert worth(week, draft) <= worth(week, found) < worth(week, more)
    there = {c.lot for run in draft.runs for c in run.charges}
    assert {c.lot for run in found.runs for c in run.charges} <= there


def test_in_a_large_week_what_has_not_been_tried_is_thought_to_pay_as_its_kind_does() -> None:
    for asked, large in ((load("august"), False), (invented(1, lots=60, dryers=8), True)):
        chosen = windows(problem(asked))
        poor, good = chosen.windows[0], chosen.windows[-1]
        assert poor.kind != good.kind
        chosen.returns.count(good.kind, 1000, 1.0)
        chosen.returns.count(poor.kind, 0, 1.0)
        assert (chosen.readiness(poor) < poor.tries.weight) == large
        assert chosen.readiness(good) == good.tries.weight
        poor.tries.count(won=False)
        assert chosen.readiness(poor) == poor.tries.weight


@settings(SLOW, max_examples=10)
@given(kitchens(), st.integers(0, 99))
def test_what_waits_is_wished_for_where_it_may_start(asked: Asked, seed: int) -> None:
    week = problem(asked, FULL)
    chosen, draft = windows(week, seed), whiteboard(week)
    racks = draft.racks_of(len(week.lots))
    for number, day in enumerate(chosen.relaxed.days):
        for wish in chosen.wishes.waiting(draft, range(number, number + 1), seed % 3):
            lot = week.lots[wish.lot]
            assert racks[wish.lot] < lot.racks
            assert lot.earliest <= day.close
            assert lot.latest >= day.open


@settings(SLOW, max_examples=10)
@given(kitchens(), st.integers(0, 99))
def test_the_other_days_are_left_alone(asked: Asked, seed: int) -> None:
    week = problem(asked, FULL)
    chosen, draft = windows(week, seed), whiteboard(week)
    for number in range(len(chosen.relaxed.days)):
        days = range(number, number + 1)
        others = placed(chosen.beside(draft, days).draft().runs)
        found = chosen.filled(draft, days, everything(week), LIGHT)
        if found is not None:
            assert others <= placed(found.runs)


@settings(SLOW, max_examples=10)
@given(kitchens(), st.integers(0, 99))
def test_wishes_are_of_lots_that_may_start_there_in_dryers_that_bear_them(
    asked: Asked, seed: int
) -> None:
    week = problem(asked, FULL)
    relaxed = Relaxed(week)
    tastes = {lot.index: 1 + seed / 1000 for lot in week.lots}
    for number, day in enumerate(relaxed.days):
        for wish in relaxed.wishes(whiteboard(week), [number], tastes):
            lot = week.lots[wish.lot]
            assert lot.arrives <= day.close
            assert lot.latest >= day.open
            assert set(wish.dryers) <= set(lot.dryers)
            assert 0 <= wish.racks <= lot.racks


def test_every_day_of_a_plan_could_stay_as_it_is() -> None:
    """A plan is a point of the relaxed week, so that something is wished for wherever it has
    runs; in august some end in the same night after unequal hours."""
    week = problem(load("august"))
    relaxed, draft = Relaxed(week), whiteboard(week)
    for number, day in enumerate(relaxed.days):
        if any(day.open <= run.start <= day.close for run in draft.runs):
            assert relaxed.wishes(draft, [number], {})


def test_what_others_have_already_is_not_wished_for() -> None:
    """One dryer, two lots of a rack: what stands on the other day takes its lot."""
    lots = (tiny.Lot(1, 16, 60), tiny.Lot(1, 16, 60, "G2"))
    week = problem(tiny.asked(tiny.Tiny(lots, dryers=(1,))))
    (run, *_) = whiteboard(week).runs
    relaxed = Relaxed(week)
    away = next(n for n, day in enumerate(relaxed.days) if not day.open <= run.start <= day.close)
    wished = {wish.lot for wish in relaxed.wishes(Draft((run,)), [away], {})}
    assert run.charges[0].lot not in wished


def test_a_lot_may_be_washed_the_evening_before() -> None:
    """It starts on Tuesday when only cutting has had time since the opening."""
    lot = tiny.Lot(1, 26, tiny.DAY + 18, drying=6)
    week = problem(tiny.asked(tiny.Tiny((lot,), dryers=(1,), shift=12, hands=3)))
    chosen = windows(week)
    tuesday = chosen.relaxed.days[1]
    draft = chosen.filled(Draft(), range(1, 2), everything(week), LIGHT)
    assert draft is not None
    (run,) = draft.runs
    assert tuesday.open <= run.start
    assert run.charges[0].wash < tuesday.open


def by_its_only_hand(firm: bool) -> tuple[Draft, Draft]:
    """Monday with a run that is out on Tuesday morning, and Tuesday filled beside it with what
    wants the hand at once."""
    over_night = tiny.Lot(1, 16, 22, "G1", drying=30)
    early = tiny.Lot(1, 26, tiny.DAY + 19, "G2")
    kitchen = tiny.Tiny(
        (over_night, early),
        dryers=(1, 1),
        hands=1,
        alone=frozenset({"G2"}),
        unloaded_within=6,
    )
    week = problem(tiny.asked(kitchen))
    begun = windows(week).filled(Draft(), range(1), everything(week), LIGHT)
    assert begun is not None
    if firm:
        week = replace(week, firm=Firm(draft=begun))
    found = windows(week).filled(begun, range(1, 2), everything(week), LIGHT)
    return begun, begun if found is None else found


def test_a_kept_run_is_unloaded_later_where_hands_are_wanted_first() -> None:
    begun, draft = by_its_only_hand(firm=False)
    (before,) = begun.runs
    (after,) = (run for run in draft.runs if run.key == before.key)
    assert len(draft.runs) == 2
    assert after.unload > before.unload


def test_a_firm_run_is_unloaded_when_it_was_promised() -> None:
    begun, draft = by_its_only_hand(firm=True)
    assert draft == begun


def test_windows_better_what_a_careful_hand_has_made_of_a_glut() -> None:
    week = problem(load("glut"), FULL)
    draft = whiteboard(week)
    chosen = windows(week)
    days = range(3, 4)
    wishes = chosen.relaxed.wishes(draft, days, {})
    found = chosen.filled(draft, days, wishes, Effort(60, 0.2))
    assert found is not None
    assert worth(week, found) > worth(week, draft)
